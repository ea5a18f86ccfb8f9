//! What a recipe holds where its file says nothing: the usual figures of `keys`, put into the recipe's own fields.
//!
//! A name that `keys` does not know stops the compiler, not the maker. Absent on purpose: any figure of its own.

use super::keys::{CHECK, CLOTH, COATS, GESSO, MINUTES, REST, SCRAPE, SEAL, SIZE, STIPPLE};
use super::{
    Check, Cloth, Coats, Direction, Faces, Gesso, Minutes, ReadySign, Rest, Scrape, Seal, SealWith, SizeCoats, Stipple,
};

impl Default for SizeCoats {
    fn default() -> Self {
        SizeCoats {
            glue_g_per_l_water: const { SIZE.number("glue_g_per_l_water") },
            soak_h: const { SIZE.number("soak_h") },
            faces: Faces::Both,
            coats_per_face: const { SIZE.count("coats_per_face") },
            ml_per_m2: const { SIZE.number("ml_per_m2") },
            wait_min: const { SIZE.number("wait_min") },
            cure_h: const { SIZE.number("cure_h") },
        }
    }
}

impl Default for Cloth {
    fn default() -> Self {
        Cloth { rest_h: const { CLOTH.number("rest_h") } }
    }
}

impl Default for Gesso {
    fn default() -> Self {
        Gesso {
            glue_g_per_l_water: const { GESSO.number("glue_g_per_l_water") },
            fillers: Vec::new(),
            thinning_pct: const { GESSO.number("thinning_pct") },
            ml_per_m2: const { GESSO.number("ml_per_m2") },
            waste_pct: const { GESSO.number("waste_pct") },
            loss_ml: const { GESSO.number("loss_ml") },
            work_c: const { GESSO.pair("work_c") },
            caution_c: const { GESSO.number("caution_c") },
            overheat_c: const { GESSO.number("overheat_c") },
            gels_at_c: const { GESSO.number("gels_at_c") },
            time_constant_min: const { GESSO.number("time_constant_min") },
            melt_min: const { GESSO.number("melt_min") },
            bowl_min: const { GESSO.number("bowl_min") },
        }
    }
}

impl Default for Stipple {
    fn default() -> Self {
        Stipple { coats: const { STIPPLE.count("coats") }, wait_min: const { STIPPLE.number("wait_min") } }
    }
}

impl Default for Coats {
    fn default() -> Self {
        Coats {
            front: const { COATS.count("front") },
            back: const { COATS.count("back") },
            first: Direction::Horizontal,
            wait_min: const { COATS.number("wait_min") },
            ready_sign: ReadySign::Dull,
            long_gap_min: const { COATS.number("long_gap_min") },
            dry_min: const { COATS.number("dry_min") },
            one_day: const { COATS.flag("one_day") },
        }
    }
}

impl Default for Scrape {
    fn default() -> Self {
        Scrape {
            tool: const { SCRAPE.text("tool") }.to_owned(),
            angle_deg: const { SCRAPE.number("angle_deg") },
            stroke_mm: const { SCRAPE.number("stroke_mm") },
        }
    }
}

impl Default for Check {
    fn default() -> Self {
        Check { columns: const { CHECK.count("columns") }, rows: const { CHECK.count("rows") } }
    }
}

impl Default for Rest {
    fn default() -> Self {
        Rest { hours: const { REST.number("hours") } }
    }
}

impl Default for Seal {
    fn default() -> Self {
        Seal {
            with: SealWith::Shellac,
            resin_g_per_l_spirit: None,
            glue_g_per_l_water: None,
            coats: const { SEAL.count("coats") },
            ml_per_m2: const { SEAL.number("ml_per_m2") },
            wait_min: const { SEAL.number("wait_min") },
        }
    }
}

impl Default for Minutes {
    fn default() -> Self {
        Minutes {
            size: const { MINUTES.number("size") },
            stipple: const { MINUTES.number("stipple") },
            coat: const { MINUTES.number("coat") },
            scrape: const { MINUTES.number("scrape") },
            check: const { MINUTES.number("check") },
            seal: const { MINUTES.number("seal") },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::keys::{Need, Table};
    use super::*;
    use serde_json::Value;

    fn check(table: &Table, said: Value) {
        let said = said.as_object().cloned().unwrap_or_default();
        for key in table.keys {
            match key.need {
                Need::Unknown => assert_eq!(said.get(key.name), None, "[{}] {}", table.name, key.name),
                Need::Required | Need::Usual => {
                    assert_eq!(said.get(key.name), Some(&key.usual()), "[{}] {}", table.name, key.name);
                }
            }
        }
        assert_eq!(
            said.keys().count(),
            table.keys.iter().filter(|k| k.need != Need::Unknown).count(),
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
