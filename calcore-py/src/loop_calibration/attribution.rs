//! Which link the error of a loop comes from.

use crate::objects::{Series, html_table, shown, view};
use calcore::loop_calibration as core;
use numpy::PyArray1;
use pyo3::prelude::*;
use pyo3::types::PyDict;

view! {
    /// The error of a loop, split over its links.
    ///
    /// Examples
    /// --------
    /// >>> loop = run.evaluate().attribution[0]
    /// >>> split = loop.set_points[0]
    /// >>> bool(abs(sum(share.error_k for share in split.shares) - split.error_k) < 1e-12)
    /// True
    Attribution(core::Attribution) in "calcore.loop_calibration" {
        /// Tag of the last link: what the operator sees.
        tag: String = |a| a.tag.clone();
        /// The links that were read, from the element on.
        links: Vec<String> = |a| a.links.clone();
        /// One entry a set point at which the last link was read.
        set_points: Vec<SetPointAttribution> = |a| a.set_points.iter().cloned().map(SetPointAttribution).collect();
        /// Tag of the link with the largest share.
        cause: String = |a| a.cause.clone();
        /// Whether that share exceeds its expanded uncertainty at a set point at least.
        significant: bool = |a| a.significant;
    }

    /// The shares as columns of the same length, one row a set point and link; what a data frame is made of.
    ///
    /// Returns
    /// -------
    /// dict
    ///     `set_point`, `tag`, `error_k`, `standard_uncertainty_k`, `expanded_uncertainty_k`.
    ///
    /// Examples
    /// --------
    /// >>> loop = run.evaluate().attribution[0]
    /// >>> len(loop.columns()["error_k"]) == len(loop.links) * len(loop.set_points)
    /// True
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let shares = || self.0.set_points.iter().flat_map(|split| split.shares.iter().map(move |share| (split, share)));
        let all = PyDict::new(py);
        all.set_item("set_point", PyArray1::from_iter(py, shares().map(|(split, _)| split.set_point as i64)))?;
        all.set_item("tag", shares().map(|(_, share)| share.tag.as_str()).collect::<Vec<_>>())?;
        all.set_item("error_k", Series(shares().map(|(_, share)| share.error_k).collect()))?;
        let u_k = shares().map(|(_, share)| share.standard_uncertainty_k).collect();
        all.set_item("standard_uncertainty_k", Series(u_k))?;
        let expanded_k = shares().map(|(_, share)| share.expanded_uncertainty_k).collect();
        all.set_item("expanded_uncertainty_k", Series(expanded_k))?;
        Ok(all)
    }

    fn __repr__(&self) -> String {
        let clear = if self.0.significant { "significant" } else { "not significant" };
        format!("Attribution({}: cause {}, {clear})", self.0.tag, self.0.cause)
    }

    fn _repr_html_(&self) -> String {
        attribution_table(&self.0)
    }
}

view! {
    /// The split of the error of a loop at one set point.
    ///
    /// Examples
    /// --------
    /// >>> run.evaluate().attribution[0].set_points[0].set_point
    /// 0
    SetPointAttribution(core::SetPointAttribution) in "calcore.loop_calibration" {
        /// Which set point of the run, counted from 0.
        set_point: usize = |s| s.set_point;
        /// Error of the loop, K: that of its last link.
        error_k: f64 = |s| s.error_k;
        /// The shares; their sum is the error of the loop.
        shares: Vec<LinkShare> = |s| s.shares.iter().cloned().map(LinkShare).collect();
        /// The shares added with their signs, K: the error of the loop.
        algebraic_k: f64 = |s| s.combinations().algebraic_k;
        /// The amounts of the shares added, K: the worst that limits of this size allow.
        worst_case_k: f64 = |s| s.combinations().worst_case_k;
        /// Root of the sum of their squares, K: for independent limits before a measurement, not for measured errors.
        root_sum_of_squares_k: f64 = |s| s.combinations().root_sum_of_squares_k;
    }

    fn __repr__(&self) -> String {
        let shares: Vec<String> =
            self.0.shares.iter().map(|share| format!("{} {} K", share.tag, shown(share.error_k))).collect();
        format!("SetPointAttribution({} K = {})", shown(self.0.error_k), shares.join(" + "))
    }
}

view! {
    /// What one link adds to the error of its loop.
    ///
    /// Examples
    /// --------
    /// >>> run.evaluate().attribution[0].set_points[0].shares[0].tag == run.evaluate().attribution[0].links[0]
    /// True
    LinkShare(core::LinkShare) in "calcore.loop_calibration" {
        /// Tag of the link.
        tag: String = |s| s.tag.clone();
        /// Links before it that were not read and whose error is in this share.
        unread: Vec<String> = |s| s.unread.clone();
        /// What it adds to the error, K.
        error_k: f64 = |s| s.error_k;
        /// Standard uncertainty of it, K.
        standard_uncertainty_k: f64 = |s| s.standard_uncertainty_k;
        /// Expanded uncertainty of it, K.
        expanded_uncertainty_k: f64 = |s| s.expanded_uncertainty_k;
        /// Share of the error of the loop, percent; None where that error is zero.
        percent: Option<f64> = |s| s.percent;
    }

    fn __repr__(&self) -> String {
        format!(
            "LinkShare({}: {} K ± {} K)",
            self.0.tag,
            shown(self.0.error_k),
            shown(self.0.expanded_uncertainty_k)
        )
    }
}

pub(super) fn attribution_table(attribution: &core::Attribution) -> String {
    let rows: Vec<Vec<String>> = attribution
        .set_points
        .iter()
        .map(|point| {
            let share = |tag: &String| {
                let found = point.shares.iter().find(|share| share.tag == *tag);
                found.map_or("not read".into(), |share| format!("{:+.3}", share.error_k))
            };
            let own = [format!("{}", point.set_point + 1), format!("{:+.3}", point.error_k)];
            own.into_iter().chain(attribution.links.iter().map(share)).collect()
        })
        .collect();
    let caption = format!("Where the error of {} comes from, K: {}", attribution.tag, attribution.cause);
    let headings: Vec<&str> =
        ["set point", "error"].into_iter().chain(attribution.links.iter().map(String::as_str)).collect();
    html_table(&caption, &headings, &rows)
}
