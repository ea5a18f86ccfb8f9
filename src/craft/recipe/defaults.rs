//! What a recipe holds where its file says nothing: the usual figures of `keys`, put into the recipe's own fields.
//!
//! A name that `keys` does not know stops the compiler, not the maker. No figure of its own stands here.

use super::schema::{CHECK, CLOTH, COATS, GESSO, MINUTES, REST, SCRAPE, SEAL, SIZE, STIPPLE};
use super::{
    Check, Cloth, Coats, Direction, Faces, Gesso, Minutes, ReadySign, Rest, Scrape, Seal, SealMaterial, SizeCoats,
    Stipple,
};

impl Default for SizeCoats {
    fn default() -> Self {
        SizeCoats {
            glue_g_per_l_water: const { SIZE.default_number("glue_g_per_l_water") },
            soak_h: const { SIZE.default_number("soak_h") },
            faces: Faces::Both,
            coats_per_face: const { SIZE.default_integer("coats_per_face") },
            ml_per_m2: const { SIZE.default_number("ml_per_m2") },
            wait_min: const { SIZE.default_number("wait_min") },
            cure_h: const { SIZE.default_number("cure_h") },
        }
    }
}

impl Default for Cloth {
    fn default() -> Self {
        Cloth { rest_h: const { CLOTH.default_number("rest_h") } }
    }
}

impl Default for Gesso {
    fn default() -> Self {
        Gesso {
            glue_g_per_l_water: const { GESSO.default_number("glue_g_per_l_water") },
            fillers: Vec::new(),
            thinning_pct: const { GESSO.default_number("thinning_pct") },
            ml_per_m2: const { GESSO.default_number("ml_per_m2") },
            waste_pct: const { GESSO.default_number("waste_pct") },
            loss_ml: const { GESSO.default_number("loss_ml") },
            work_c: const { GESSO.default_pair("work_c") },
            caution_c: const { GESSO.default_number("caution_c") },
            overheat_c: const { GESSO.default_number("overheat_c") },
            gels_at_c: const { GESSO.default_number("gels_at_c") },
            time_constant_min: const { GESSO.default_number("time_constant_min") },
            melt_min: const { GESSO.default_number("melt_min") },
            bowl_min: const { GESSO.default_number("bowl_min") },
        }
    }
}

impl Default for Stipple {
    fn default() -> Self {
        Stipple {
            coats: const { STIPPLE.default_integer("coats") },
            wait_min: const { STIPPLE.default_number("wait_min") },
        }
    }
}

impl Default for Coats {
    fn default() -> Self {
        Coats {
            front: const { COATS.default_integer("front") },
            back: const { COATS.default_integer("back") },
            first: Direction::Horizontal,
            wait_min: const { COATS.default_number("wait_min") },
            ready_sign: ReadySign::Dull,
            long_gap_min: const { COATS.default_number("long_gap_min") },
            dry_min: const { COATS.default_number("dry_min") },
            one_day: const { COATS.default_bool("one_day") },
        }
    }
}

impl Default for Scrape {
    fn default() -> Self {
        Scrape {
            tool: const { SCRAPE.default_text("tool") }.to_owned(),
            angle_deg: const { SCRAPE.default_number("angle_deg") },
            stroke_mm: const { SCRAPE.default_number("stroke_mm") },
        }
    }
}

impl Default for Check {
    fn default() -> Self {
        Check { columns: const { CHECK.default_integer("columns") }, rows: const { CHECK.default_integer("rows") } }
    }
}

impl Default for Rest {
    fn default() -> Self {
        Rest { hours: const { REST.default_number("hours") } }
    }
}

impl Default for Seal {
    fn default() -> Self {
        Seal {
            with: SealMaterial::Shellac,
            resin_g_per_l_spirit: None,
            glue_g_per_l_water: None,
            coats: const { SEAL.default_integer("coats") },
            ml_per_m2: const { SEAL.default_number("ml_per_m2") },
            wait_min: const { SEAL.default_number("wait_min") },
        }
    }
}

impl Default for Minutes {
    fn default() -> Self {
        Minutes {
            size: const { MINUTES.default_number("size") },
            stipple: const { MINUTES.default_number("stipple") },
            coat: const { MINUTES.default_number("coat") },
            scrape: const { MINUTES.default_number("scrape") },
            check: const { MINUTES.default_number("check") },
            seal: const { MINUTES.default_number("seal") },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::schema::{KeyPresence, Table};
    use super::*;
    use serde_json::Value;

    fn check(table: &Table, said: Value) {
        let said = said.as_object().cloned().unwrap_or_default();
        for key in table.keys {
            match key.presence {
                KeyPresence::Optional => assert_eq!(said.get(key.name), None, "[{}] {}", table.name, key.name),
                KeyPresence::Required | KeyPresence::Defaulted => {
                    assert_eq!(said.get(key.name), Some(&key.default_value()), "[{}] {}", table.name, key.name);
                }
            }
        }
        assert_eq!(
            said.keys().count(),
            table.keys.iter().filter(|k| k.presence != KeyPresence::Optional).count(),
            "{}",
            table.name
        );
    }

    #[test]
    fn what_is_left_out_is_what_the_key_table_calls_usual() {
        let json = |v: Result<Value, serde_json::Error>| v.unwrap();
        check(&SIZE, json(serde_json::to_value(SizeCoats::default())));
        check(&CLOTH, json(serde_json::to_value(Cloth::default())));
        check(&GESSO, json(serde_json::to_value(Gesso::default())));
        check(&STIPPLE, json(serde_json::to_value(Stipple::default())));
        check(&COATS, json(serde_json::to_value(Coats::default())));
        check(&SCRAPE, json(serde_json::to_value(Scrape::default())));
        check(&CHECK, json(serde_json::to_value(Check::default())));
        check(&REST, json(serde_json::to_value(Rest::default())));
        check(&SEAL, json(serde_json::to_value(Seal::default())));
        check(&MINUTES, json(serde_json::to_value(Minutes::default())));
    }
}
