//! Where a line of advice comes from. Books and institutions by name, practitioners' pages by kind and year.
//!
//! Most were read in part only; what was not read again says "from memory".

/// Nobody's in particular.
pub const COMMON: &str = "common practice, no source";
/// The figures of the panel's own copy of the plan.
pub const RECIPE: &str = "the panel's own recipe";
/// On the linen.
pub const CLOTH: &str = "Cennino Cennini, ch. 114, c. 1400; D. V. Thompson 1936";
/// On the first coat.
pub const FIRST_COAT: &str = "Cennino Cennini, ch. 117 (rubbed in); Rivers & Umney 2003 (tapped)";
/// On drying, scraping and the powdered charcoal.
pub const CENNINI_DRY: &str = "Cennino Cennini, ch. 120, c. 1400";
/// On sizing.
pub const THOMPSON_SIZE: &str = "D. V. Thompson 1936 (read in part)";
/// On the pot.
pub const THOMPSON_POT: &str = "D. V. Thompson 1936, p. 27";
/// On scraping and the powdered charcoal.
pub const THOMPSON_BLADE: &str = "D. V. Thompson 1936, p. 30";
/// The angle of the blade, on which sources differ.
pub const BLADE_ANGLE: &str = "the panel's own recipe; D. V. Thompson 1936 holds it upright";
/// On preparing boards.
pub const KAY: &str = "R. Kay 1983, p. 116 (read in part)";
/// On drying too fast.
pub const RIVERS_DRY: &str = "S. Rivers & N. Umney 2003, p. 341";
/// On size that shines.
pub const RIVERS_SIZE: &str = "S. Rivers & N. Umney 2003, p. 649";
/// On strength from coat to coat.
pub const RIVERS_COATS: &str = "S. Rivers & N. Umney 2003, pp. 648-650";
/// On brushing coats, and when.
pub const SLADE: &str = "the Slade School's teaching note";
/// The two schools of waiting, named together.
pub const DISPUTED: &str = "Slade School, Rivers & Umney; others dry each coat fully";
/// Those who dry fully.
pub const DRY_SCHOOL: &str = "oil painters' and workshop pages; other sources disagree";
/// A university forum of conservators.
pub const CONSERVATORS: &str = "a university forum of conservators, 2016-2024";
/// A timed log of a university project.
pub const TIMED_LOG: &str = "a university project's timed log, 2015";
/// Painters in egg tempera.
pub const TEMPERA_FORUM: &str = "an egg-tempera painters' forum, 2003-2017";
/// A painter's notes.
pub const HOBBY_NOTES: &str = "a painter's notes, 2006";
/// A painter's report on sanding.
pub const PAINTER_2012: &str = "a painter's report, 2012";
/// A handbook extract on boards.
pub const GERMAN_HANDBOOK: &str = "a German gilding handbook (extract)";
/// A school's page on linen.
pub const SCHOOL_PAGE: &str = "a school's page";
/// A Russian atelier's text.
pub const RUSSIAN_ATELIER: &str = "a Russian atelier's text";
/// A maker of artists' materials.
pub const MATERIALS_MAKER: &str = "a materials maker's guide";
/// Panels of plywood by thickness.
pub const PLY_PAGES: &str = "R. Kay 1983, p. 114; painters' pages, 2013";
/// Scalding times.
pub const SCALDS: &str = "consumer-safety tables, from memory";
/// Spirit.
pub const SPIRIT: &str = "flash point 13-17 C, from memory";
/// Dust in general.
pub const DUST: &str = "occupational limits, from memory";
/// Zinc oxide dust.
pub const DUST_ZINC: &str = "NIOSH and water rules, from memory";
/// Titanium dioxide dust.
pub const DUST_TITANIUM: &str = "NIOSH 2011, from memory";
/// Zinc under oil.
pub const ZINC_STUDY: &str = "a museum study of oil paints over 28 years";
/// Titanium in a ground.
pub const TITANIUM_SHARE: &str = "R. Kay 1983; a tempera painter's page, 2024";
/// Worked out here from other figures.
pub const DERIVED: &str = "derived; a rule of thumb to try";
/// On heat, up to which glue is warmed.
pub const RIVERS_POT: &str = "the panel's own recipe; S. Rivers & N. Umney 2003, p. 648 (55 C at most)";
/// A gilding teacher.
pub const GILDING_TEACHER: &str = "a gilding teacher's notes, 2007-2016";
/// A gilder.
pub const GILDERS_PAGE: &str = "a gilder's page";
/// A painter in oil.
pub const OIL_PAGE: &str = "an oil painter's page";
/// A painter in tempera.
pub const TEMPERA_PAGE: &str = "a tempera painter's page";
/// A studio in Germany.
pub const GERMAN_STUDIO: &str = "a German studio guide, 2019";
/// A college in Britain.
pub const COLLEGE: &str = "a UK college's notes, 2005";
/// On glue that is tried between the palms.
pub const PALMS: &str = "Cennino Cennini, ch. 113, c. 1400";
/// On how thick gesso is.
pub const CREAM: &str = "R. Kay 1983; a university forum of conservators";
/// What the air does to a wait.
pub const DRYING_MODEL: &str = "a drying model (as a wet cloth dries); no gesso was measured";
/// What that model leaves out.
pub const DRYING_LIMITS: &str = "a draught can halve the time: a heat balance, computed";
/// Water in a board.
pub const SLAB_MODEL: &str = "diffusion in a slab, J. Crank 1975; wood known within a factor of three";
/// What weighings say.
pub const DRY_RULE: &str = "your own weighings; 0.2 % of the mass is common practice, no source";
/// The maker's own dull marks.
pub const OWN_MARKS: &str = "your own dull marks, the twenty newest panels";
/// Dew and damp before sealing.
pub const DEW_RULE: &str = "ISO 8502-4, 12944-7 as quoted, for steel; borrowed";
