//! Times of which only a span is known: something was not there at one look and there at the next.

/// After the first of the two times and up to the second; infinite where it has not come about yet.
pub type Interval = (f64, f64);

/// So many rounds, and so small a change, end the search for the curve.
const MAX_ROUNDS: usize = 2_000;
const SETTLED: f64 = 1e-10;

/// Places that can hold any of the curve's mass, each by its end, and how much each holds.
///
/// The self-consistent curve (Turnbull 1976): the mass of each place is the mean of what the observations say of it.
fn turnbull_masses(seen: &[Interval]) -> Vec<(f64, f64)> {
    let ends: Vec<f64> = innermost_ends(seen);
    let mut kinds: Vec<(Interval, f64)> = Vec::new();
    let mut rising = seen.to_vec();
    rising.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    for alike in rising.chunk_by(|a, b| a == b) {
        kinds.extend(alike.first().map(|one| (*one, alike.len() as f64 / seen.len() as f64)));
    }
    let holds = |(from, to): Interval, end: f64| end > from && end <= to;
    let mut mass = vec![1.0 / ends.len().max(1) as f64; ends.len()];
    for _ in 0..MAX_ROUNDS {
        let mut next = vec![0.0; ends.len()];
        for (one, share) in &kinds {
            let total: f64 = ends.iter().zip(&mass).filter(|(end, _)| holds(*one, **end)).map(|(_, m)| m).sum();
            for ((next, end), m) in next.iter_mut().zip(&ends).zip(&mass) {
                if total > 0.0 && holds(*one, *end) {
                    *next += m / total * share;
                }
            }
        }
        let moved = next.iter().zip(&mass).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
        mass = next;
        if moved < SETTLED {
            break;
        }
    }
    ends.into_iter().zip(mass).collect()
}

/// The ends of the innermost intervals: a beginning directly followed by an end.
fn innermost_ends(seen: &[Interval]) -> Vec<f64> {
    // At one time ends come before beginnings, since a span holds its end and not its beginning.
    let mut points: Vec<(f64, bool)> = seen.iter().flat_map(|(from, to)| [(*from, true), (*to, false)]).collect();
    points.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    points.windows(2).filter(|two| two[0].1 && !two[1].1).map(|two| two[1].0).collect()
}

/// The log-rank score of each: above 0 where it came about early. Their sum is 0.
///
/// With S the self-consistent curve, [S(L) ln S(L) - S(R) ln S(R)] / [S(L) - S(R)] (Fay and Shaw 2010 for the use; the form
/// from memory).
pub fn log_rank_scores(seen: &[Interval]) -> Vec<f64> {
    let masses = turnbull_masses(seen);
    let after = |t: f64| masses.iter().filter(|(end, _)| *end > t).map(|(_, m)| m).sum::<f64>().min(1.0);
    let term = |s: f64| if s > 0.0 { s * s.ln() } else { 0.0 };
    let score = |(from, to): &Interval| {
        let (l, r) = (after(*from), if to.is_finite() { after(*to) } else { 0.0 });
        if l - r > 1e-9 { (term(l) - term(r)) / (l - r) } else { 0.0 }
    };
    seen.iter().map(score).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Computed by two independent programs.
    #[test]
    fn scores_and_curve_are_those_of_two_programs() {
        let inf = f64::INFINITY;
        let seen = [(0.0, 1.0), (0.0, 7.0), (7.0, 28.0), (28.0, inf), (28.0, inf), (7.0, inf)];
        let masses = turnbull_masses(&seen);
        let after = |t: f64| masses.iter().filter(|(end, _)| *end > t).map(|(_, m)| m).sum::<f64>();
        assert!((after(1.0) - 2.0 / 3.0).abs() < 1e-6 && (after(28.0) - 4.0 / 9.0).abs() < 1e-6, "{masses:?}");
        let scores = log_rank_scores(&seen);
        for (is, wants) in scores.iter().zip([0.8109, 0.8109, 0.4055, -0.8109, -0.8109, -0.4055]) {
            assert!((is - wants).abs() < 1e-4, "{scores:?}");
        }
        assert!(scores.iter().sum::<f64>().abs() < 1e-6);
    }

    #[test]
    fn one_look_on_one_day_tells_two_kinds_apart() {
        let scores = log_rank_scores(&[(0.0, 9.0), (0.0, 9.0), (9.0, f64::INFINITY)]);
        assert!(scores[0] == scores[1] && scores[0] > 0.0 && scores[2] < 0.0, "{scores:?}");
        assert!(log_rank_scores(&[]).is_empty());
    }
}
