//! Whether a pot's forecast keeps what it states: a thousand simulated pots of each kind, six coolings of each. A line for
//! each kind: per cooling the share of gels that came within the interval, its median width and the median error in
//! minutes, and the mean interval score; at last the share over the second to sixth cooling. Stars mark the coolings of
//! which nothing told that something had changed.
//!
//! `cargo bench --bench gel`; `SOTTILE_POTS=200` for another number. The seeds are 0 to that number.

#![allow(clippy::unwrap_used, missing_docs, reason = "a bench may fail by panicking, and is no library")]

#[path = "../common/gel_pots.rs"]
mod gel_pots;
#[path = "../common/gel_simulation.rs"]
mod gel_simulation;

use gel_pots::Arm;
use gel_simulation::{Foretold, coverage_pct, forecast_arm, forecast_pot, median};
use rayon::prelude::*;

fn main() {
    let pots = std::env::var("SOTTILE_POTS").ok().and_then(|n| n.parse().ok()).unwrap_or(1000);
    println!("seeds 0 to {}; of each cooling: % inside, width min, error min, score", pots - 1);
    let lines: Vec<String> = Arm::ALL.par_iter().map(|arm| format_arm(*arm, &forecast_arm(*arm, pots))).collect();
    println!("{}", lines.join("\n"));
    for arm in [Arm::Unchanged, Arm::HalfByCoats] {
        println!("\none pot, {arm:?}, seed 7: foretold from, middle, to; came (min)");
        for (n, f) in forecast_pot(arm, 7).iter().enumerate() {
            println!("{}  {:5.1} {:5.1} {:5.1}  {:5.1}", n + 1, f.earliest, f.gels, f.latest, f.came);
        }
    }
}

/// The width, and twenty times what lies outside (the interval score at 0.9; Gneiting and Raftery 2007).
fn score(f: &Foretold) -> f64 {
    f.width() + 20.0 * (f.earliest - f.came).max(f.came - f.latest).max(0.0)
}

fn format_arm(arm: Arm, coolings: &[Vec<Foretold>]) -> String {
    let each = coolings.iter().enumerate().map(|(at, foretold)| {
        let star = if arm.is_untold(at + 1) { '*' } else { ' ' };
        let width = median(foretold.iter().map(Foretold::width).collect());
        let error = median(foretold.iter().map(Foretold::error).collect());
        let score = foretold.iter().map(score).sum::<f64>() / foretold.len() as f64;
        format!("{:5.1}{star} {width:4.1} {error:4.1} {score:5.1}", coverage_pct(foretold))
    });
    let judged: Vec<Foretold> =
        (1..coolings.len()).filter(|at| !arm.is_untold(at + 1)).flat_map(|at| coolings[at].clone()).collect();
    format!("{:16}|{}| {:.1}", format!("{arm:?}"), each.collect::<Vec<_>>().join("|"), coverage_pct(&judged))
}
