//! A budget edited by the names of its sources.
//!
//! A budget of correlated sources does not carry its matrix; such a one is refused here and made anew from its lines.

use crate::error::{Error, Result};
use crate::uncertainty::budget::{Budget, Contribution};
use crate::uncertainty::coverage::Coverage;

impl Budget {
    /// The line of a source.
    #[must_use]
    pub fn contribution(&self, quantity: &str) -> Option<&Contribution> {
        self.contributions.iter().find(|line| line.quantity == quantity)
    }

    /// The same budget with one more line. The value stays: a correction is applied to it by the caller.
    ///
    /// # Errors
    /// [`Error::UnknownName`] for a source that the budget has already; [`Error::InvalidValue`] for correlated ones; those of
    /// [`Budget::from_contributions`].
    ///
    /// # Example
    /// ```
    /// use calcore::uncertainty::{Budget, Contribution, Coverage, Distribution};
    /// let k2 = Coverage::Factor(2.0);
    /// let budget = Budget::from_contributions(0.0, vec![Contribution::of("a", &Distribution::normal(0.0, 3.0)?, 1.0)?], k2)?;
    /// let wider = budget.with(Contribution::of("b", &Distribution::normal(0.0, 4.0)?, 1.0)?, k2)?;
    /// assert_eq!(wider.standard_uncertainty, 5.0);
    /// assert_eq!(wider.without("a", k2)?.standard_uncertainty, 4.0);
    /// # Ok::<(), calcore::Error>(())
    /// ```
    pub fn with(&self, line: Contribution, coverage: Coverage) -> Result<Self> {
        if self.contribution(&line.quantity).is_some() {
            return Err(Error::UnknownName {
                what: "new source of a budget",
                name: line.quantity,
                expected: "a name that the budget does not have; replace the line instead".into(),
            });
        }
        let mut lines = self.independent_lines()?;
        lines.push(line);
        Self::from_contributions(self.value, lines, coverage)
    }

    /// The same budget with another line in the place of that of the same source.
    ///
    /// # Errors
    /// [`Error::UnknownName`] for a source that the budget does not have; otherwise as [`Budget::with`].
    pub fn with_replaced(&self, line: Contribution, coverage: Coverage) -> Result<Self> {
        let place = self.place(&line.quantity)?;
        let mut lines = self.independent_lines()?;
        lines[place] = line;
        Self::from_contributions(self.value, lines, coverage)
    }

    /// The same budget without the line of a source.
    ///
    /// # Errors
    /// As [`Budget::with_replaced`].
    pub fn without(&self, quantity: &str, coverage: Coverage) -> Result<Self> {
        let place = self.place(quantity)?;
        let mut lines = self.independent_lines()?;
        lines.remove(place);
        Self::from_contributions(self.value, lines, coverage)
    }

    /// A part of the budget: the lines of some sources, such as those that several instruments share.
    ///
    /// # Errors
    /// As [`Budget::with_replaced`].
    pub fn part(&self, quantities: &[&str], coverage: Coverage) -> Result<Self> {
        let lines = self.independent_lines()?;
        let places = quantities.iter().map(|quantity| self.place(quantity)).collect::<Result<Vec<_>>>()?;
        let lines = places.into_iter().map(|place| lines[place].clone()).collect();
        Self::from_contributions(self.value, lines, coverage)
    }

    fn place(&self, quantity: &str) -> Result<usize> {
        self.contributions.iter().position(|line| line.quantity == quantity).ok_or_else(|| {
            let names: Vec<&str> = self.contributions.iter().map(|line| line.quantity.as_str()).collect();
            Error::UnknownName { what: "source of the budget", name: quantity.into(), expected: names.join(", ") }
        })
    }

    /// The lines, if they are independent: then the squares of their contributions add up to that of the whole.
    fn independent_lines(&self) -> Result<Vec<Contribution>> {
        let largest = self.contributions.iter().fold(0.0f64, |most, line| most.max(line.contribution.abs()));
        let unit = if largest > 0.0 { largest } else { 1.0 };
        let sum: f64 =
            self.contributions.iter().map(|line| (line.contribution / unit) * (line.contribution / unit)).sum();
        let whole = self.standard_uncertainty / unit;
        // A few roundings for each line.
        if (sum - whole * whole).abs() > 1e-12 * sum {
            return Err(Error::InvalidValue {
                what: "standard uncertainty of the budget",
                value: self.standard_uncertainty,
                unit: "",
                requirement: "its sources are correlated: make it anew from its lines and their correlation".into(),
            });
        }
        Ok(self.contributions.clone())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::uncertainty::correlation::Correlation;
    use crate::uncertainty::distribution::{Distribution, Shape};

    const K2: Coverage = Coverage::Factor(2.0);

    fn line(name: &str, u: f64) -> Contribution {
        Contribution::new(name, 0.0, u, Shape::Normal, f64::INFINITY, 1.0).unwrap()
    }

    #[test]
    fn lines_are_added_replaced_and_removed_by_name() {
        let budget = Budget::from_contributions(20.0, vec![line("a", 3.0), line("b", 4.0)], K2).unwrap();
        let more = budget.with(line("c", 12.0), K2).unwrap();
        // 3, 4, 12: 13.
        assert_eq!((more.standard_uncertainty, more.value), (13.0, 20.0));
        let flat = Contribution::of("c", &Distribution::rectangular(-1.0, 1.0).unwrap(), 0.0).unwrap();
        assert_eq!(more.with_replaced(flat, K2).unwrap().standard_uncertainty, 5.0);
        assert_eq!(more.without("c", K2).unwrap(), budget);
        assert_eq!(more.part(&["c", "a"], K2).unwrap().contributions[0].quantity, "c");
        assert_eq!(more.contribution("b").map(|line| line.contribution), Some(4.0));
        let code = |r: Result<Budget>| r.map_err(|e| e.code()).map(|_| ());
        assert_eq!(code(budget.with(line("a", 1.0), K2)), Err(104));
        assert_eq!(code(budget.without("z", K2)), Err(104));
        assert!(budget.without("z", K2).unwrap_err().to_string().contains("a, b"));
    }

    #[test]
    fn correlated_sources_are_not_made_independent_in_silence() {
        let matrix = Correlation::new(2, &[1.0, 0.5, 0.5, 1.0]).unwrap();
        let lines = vec![line("a", 3.0), line("b", 4.0)];
        let budget = Budget::from_correlated_contributions(0.0, lines, &matrix, K2).unwrap();
        assert_eq!(budget.without("a", K2).map_err(|e| e.code()), Err(103));
    }
}
