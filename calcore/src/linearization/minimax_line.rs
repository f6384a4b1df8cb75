//! The straight line that is nowhere farther from points than it must be, solved exactly.

/// Index of a point with the weight that its ordinate has in a result.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Active {
    /// Index of the point in the input.
    pub index: usize,
    /// Derivative of the result to the reading at that point.
    pub weight: f64,
}

/// An edge of the hull with the same slope as the best line: its two points, and the point that is farthest on the other
/// side of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Support {
    /// The point of the edge with the smaller abscissa.
    pub(super) left: usize,
    /// The one with the larger abscissa.
    pub(super) right: usize,
    /// The point opposite.
    pub(super) opposite: usize,
}

/// The support of the line y = a + b x that makes max |y − a − b x| smallest; nothing unless two abscissas differ.
///
/// # Formula
/// For a slope b the best a leaves half of max(y − b x) − min(y − b x). That width is convex in b; it turns where the
/// point of the maximum passes that of the minimum, which happens at the slope of an edge of the convex hull. Upper and
/// lower chain are walked by rising slope until it does: n log n operations for sorting, no iteration, no tolerance.
///
/// # Source
/// The characterisation by three points of alternating sign: E. W. Cheney, Introduction to Approximation Theory (1966),
/// chapter 2 (from memory).
pub(super) fn best_line(x: &[f64], y: &[f64]) -> Option<Support> {
    let mut order: Vec<usize> = (0..x.len()).collect();
    order.sort_by(|&i, &j| x[i].total_cmp(&x[j]).then(y[i].total_cmp(&y[j])));
    let (first, last) = (*order.first()?, *order.last()?);
    if x[first] >= x[last] {
        return None;
    }
    let upper = chain(&order, x, y, 1.0);
    let lower = chain(&order, x, y, -1.0);
    let slope = |i: usize, j: usize| (y[j] - y[i]) / (x[j] - x[i]);
    // From the steepest fall on: the maximum is taken at the right end, the minimum at the left.
    let (mut high, mut low) = (upper.len() - 1, 0);
    loop {
        let upper_slope = if high > 0 { slope(upper[high - 1], upper[high]) } else { f64::INFINITY };
        let lower_slope = if low + 1 < lower.len() { slope(lower[low], lower[low + 1]) } else { f64::INFINITY };
        let (left, right, opposite);
        if upper_slope <= lower_slope {
            (left, right, opposite) = (upper.get(high.checked_sub(1)?)?, upper[high], lower[low]);
            high -= 1;
        } else {
            (left, right, opposite) = (&lower[low], lower[low + 1], upper[high]);
            low += 1;
        }
        if x[lower[low]] >= x[upper[high]] {
            return Some(Support { left: *left, right, opposite });
        }
    }
}

/// Upper (`sign` 1) or lower (−1) chain of the convex hull from left to right, one point for each abscissa.
fn chain(order: &[usize], x: &[f64], y: &[f64], sign: f64) -> Vec<usize> {
    let mut chain: Vec<usize> = Vec::with_capacity(order.len());
    for &k in order {
        if let Some(&last) = chain.last().filter(|&&last| x[last] >= x[k]) {
            if sign * y[last] >= sign * y[k] {
                continue;
            }
            chain.pop();
        }
        while let [.., i, j] = chain[..] {
            // The point between stays only if it lies strictly outside the line from i to k.
            let turn = (x[j] - x[i]) * (y[k] - y[i]) - (x[k] - x[i]) * (y[j] - y[i]);
            if sign * turn < 0.0 {
                break;
            }
            chain.pop();
        }
        chain.push(k);
    }
    chain
}

#[cfg(test)]
mod tests {
    use super::*;

    fn width(x: &[f64], y: &[f64], slope: f64) -> f64 {
        let rest = x.iter().zip(y).map(|(x, y)| y - slope * x);
        let (low, high) = rest.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), r| (l.min(r), h.max(r)));
        0.5 * (high - low)
    }

    #[test]
    fn no_line_through_one_abscissa() {
        assert_eq!(best_line(&[], &[]), None);
        assert_eq!(best_line(&[1.0, 1.0], &[0.0, 5.0]), None);
    }

    proptest::proptest! {
        // Witness: the width is convex in the slope and turns at the slope of a pair of points; all pairs are tried.
        #[test]
        fn no_pair_of_points_gives_a_narrower_band(
            points in proptest::collection::vec((-8i32..8, -50.0..50.0f64), 2..40)
        ) {
            let x: Vec<f64> = points.iter().map(|p| f64::from(p.0)).collect();
            let y: Vec<f64> = points.iter().map(|p| p.1).collect();
            let Some(support) = best_line(&x, &y) else {
                proptest::prop_assert!(x.iter().all(|v| *v == x[0]));
                return Ok(());
            };
            let Support { left, right, opposite } = support;
            let found = width(&x, &y, (y[right] - y[left]) / (x[right] - x[left]));
            for i in 0..x.len() {
                for j in 0..i {
                    if x[i] != x[j] {
                        let other = width(&x, &y, (y[i] - y[j]) / (x[i] - x[j]));
                        proptest::prop_assert!(found <= other + 1e-12, "{} {}", found, other);
                    }
                }
            }
            proptest::prop_assert!(x[left] < x[right] && x[left] <= x[opposite] && x[opposite] <= x[right]);
        }
    }
}
