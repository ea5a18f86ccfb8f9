//! `trial tests`: how a ground is tried out.

use super::error::CliError;
use super::output;
use crate::text::parse_size;
use crate::work::advice::ground_tests::{CYCLES_GUIDE, test_guide};
use crate::work::advice::test_map::{draw_test_map, map_legend};
use crate::work::panel::ground_test::GroundTest;
use anyhow::Result;

/// So wide the map is drawn, characters.
const MAP_COLUMNS: usize = 44;

/// Tells every test with its scale, its source and its limits, in the order in which a board is tried, and where each goes.
pub(super) fn print_tests(size: &str) -> Result<()> {
    let size = parse_size(size).map_err(|e| CliError::usage(format!("--size: {e}")))?;
    let mut told =
        String::from("In this order; what leaves least behind comes first. Three readings go to three places.\n\n");
    for test in GroundTest::ALL {
        let guide = test_guide(test);
        told += &format!(
            "--{}\n  {}\n  Scale: {}.\n  After: {}.\n  {}\n",
            test.name(),
            guide.asks,
            guide.scale,
            guide.source,
            guide.limits
        );
    }
    told += &format!("--cycles\n  {CYCLES_GUIDE}\n\nWhere each goes, seen from above:\n\n");
    for line in draw_test_map(size, MAP_COLUMNS) {
        told += &format!("  {line}\n");
    }
    told += &format!("\n  {}\n", map_legend(size).join(", "));
    told += "  Pencil and cross go at 45 degrees to the grain.\n";
    output::allow_untold(output::print_text(&told))
}
