//! Nodes of segments that are bent: equal errors by taking every segment as wide as the error allows; few segments are
//! compared with all others on a grid, since what makes the error may change its sign.

use super::bent::{Bent, Point};
use super::few::{self, Pieces};
use super::march::March;
use super::search::smallest_error;
use crate::linearization::span::Segment;

/// Up to this many segments all places of their nodes are compared: in one of them what makes the error may change its sign
/// more than once.
const FEW: usize = 16;

/// Up to this many all widths are compared.
const HARDLY_ANY: usize = 6;

/// With more of them a segment whose error is that many times too large ends the comparison with longer ones.
const MUCH_TOO_LONG: f64 = 64.0;

/// Places of the grid for each segment, and at least.
const PLACES_A_SEGMENT: usize = 16;
const LEAST_PLACES: usize = 96;

/// Least width of a segment on the grid: in widths of the segments that are known to be good.
const LEAST_ON_GRID: f64 = 0.3;

/// Segments from one end to the other with the smallest largest error.
pub(super) fn optimal(bent: &Bent<'_>, count: usize, floor: f64) -> Vec<Segment> {
    let relation = bent.relation;
    let mut march = March::new(bent, count, floor);
    smallest_error(count, bent.order(), march.first_guess(), floor, |e| march.lay(e, count));
    let mut nodes = march.into_nodes();
    // What was laid looked at few places of most segments.
    let e = nodes.windows(2).map(|t| bent.fit_finely(t[0], t[1]).error()).fold(0.0, f64::max);
    if (2..=FEW).contains(&(nodes.len() - 1)) {
        let grid = Grid::new(bent, &nodes);
        if let Some((places, off)) = few::nodes(&grid, nodes.len() - 1, e)
            && off < e
        {
            nodes = places.iter().map(|&place| grid.temperature(place)).collect();
        }
    }
    let mut segments: Vec<Segment> = nodes.windows(2).map(|t| bent.fit_finely(t[0], t[1]).segment).collect();
    if !relation.ascends() {
        segments.reverse();
    }
    segments
}

/// Places counted in the segments of nodes that are known to be good: every segment of a grid is about as large as any other.
struct Grid<'a> {
    bent: &'a Bent<'a>,
    nodes: &'a [f64],
    places: usize,
    /// The curve at the places of the grid.
    points: Vec<Point>,
}

impl<'a> Grid<'a> {
    fn new(bent: &'a Bent<'a>, nodes: &'a [f64]) -> Self {
        let segments = nodes.len() - 1;
        let places = (PLACES_A_SEGMENT * segments).max(LEAST_PLACES);
        let mut grid = Self { bent, nodes, places, points: Vec::new() };
        let place = |i: usize| segments as f64 * i as f64 / places as f64;
        grid.points = (0..=places).map(|i| bent.point(grid.temperature(place(i)))).collect();
        grid
    }

    fn temperature(&self, place: f64) -> f64 {
        let i = (place as usize).min(self.nodes.len() - 2);
        let (a, b) = (self.nodes[i], self.nodes[i + 1]);
        (a + (b - a) * (place - i as f64)).clamp(a, b)
    }
}

impl Pieces for Grid<'_> {
    fn last(&self) -> f64 {
        (self.nodes.len() - 1) as f64
    }

    fn places(&self) -> usize {
        self.places
    }

    fn least(&self) -> f64 {
        1e-3
    }

    fn least_on_grid(&self) -> usize {
        if self.nodes.len() - 1 <= HARDLY_ANY {
            return 3;
        }
        (LEAST_ON_GRID * self.places as f64 / self.last()) as usize
    }

    fn order(&self) -> f64 {
        self.bent.order()
    }

    fn much_too_long(&self) -> f64 {
        if self.nodes.len() - 1 <= HARDLY_ANY { f64::INFINITY } else { MUCH_TOO_LONG }
    }

    fn off(&self, from: f64, to: f64, _limit: f64) -> f64 {
        self.bent.fit_finely(self.temperature(from), self.temperature(to)).error()
    }

    fn off_on_grid(&self, from: usize, to: usize, _limit: f64) -> f64 {
        self.bent.error_among(&self.points[from..=to])
    }
}
