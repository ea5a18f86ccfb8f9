//! How long a plan takes, and how far it is from what no plan can beat: 200 racks of twelve new boards of any recipe and
//! size, one pair of hands, nine to six; and sixty boards.
//!
//! `cargo bench --bench plan`; nothing here judges. The last of the aims is the time from stipple to last coat; its bound is
//! every board's own coats and waits without a minute between. The bound of "ready" is the slowest board alone, which no
//! rack whose hands are full can reach. SOTTILE_RACKS=20 tries fewer racks.

#![allow(clippy::unwrap_used, reason = "a bench that cannot go on has nothing to tell")]

use sottile::inside::measure_rack;
use std::time::Instant;

fn main() {
    let racks: u64 = std::env::var("SOTTILE_RACKS").ok().and_then(|n| n.parse().ok()).unwrap_or(200);
    let (mut runs, mut ready, mut seconds, mut gaps) = (Vec::new(), Vec::new(), Vec::new(), 0);
    for seed in 0..racks {
        let begun = Instant::now();
        let Some(m) = measure_rack(12, seed) else { continue };
        seconds.push(begun.elapsed().as_secs_f64());
        runs.push(100.0 * (m.runs_min as f64 / m.runs_bound_min as f64 - 1.0));
        ready.push(100.0 * (m.ready_min as f64 / m.ready_bound_min as f64 - 1.0));
        gaps += m.long_gaps;
    }
    println!("{} racks of 12, {gaps} coats beyond their bound", runs.len());
    print_quantiles("stipple to last coat over its bound, %", &mut runs);
    print_quantiles("ready over the slowest board alone, %", &mut ready);
    print_quantiles("seconds (13 plans: the rack and each board alone)", &mut seconds);
    let begun = Instant::now();
    let m = measure_rack(60, 1).unwrap();
    let over = 100.0 * (m.runs_min as f64 / m.runs_bound_min as f64 - 1.0);
    println!("60 boards: {:.2} s, stipple to last coat {over:.1} % over its bound", begun.elapsed().as_secs_f64());
}

fn print_quantiles(what: &str, values: &mut [f64]) {
    values.sort_by(f64::total_cmp);
    let at = |part: f64| values.get((part * (values.len() as f64 - 1.0)).round() as usize).copied().unwrap_or(f64::NAN);
    println!("{what}: median {:.2}, 9 of 10 below {:.2}, most {:.2}", at(0.5), at(0.9), at(1.0));
}
