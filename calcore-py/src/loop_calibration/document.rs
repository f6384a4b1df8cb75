//! Results that are documents too: read-only attributes, JSON, and pickling by way of it.

/// A view of a result of the core that JSON can hold both ways. `$example` makes one, for the documentation.
macro_rules! document {
    (
        $(#[$meta:meta])*
        $name:ident($core:ty) of $example:literal {
            $($(#[$doc:meta])* $field:ident : $type:ty = $get:expr;)*
        }
        $($rest:tt)*
    ) => {
        $crate::objects::view! {
            $(#[$meta])*
            $name($core) in "calcore.loop_calibration" {
                $($(#[$doc])* $field : $type = $get;)*
            }

            /// The same as JSON.
            ///
            /// Returns
            /// -------
            /// str
            ///     Compact, of the published schema; numbers in the shortest form that reads back to the same bits.
            ///
            /// Examples
            /// --------
            #[doc = concat!(">>> ", $example, ".to_json()[0]")]
            /// '{'
            fn to_json(&self, py: Python<'_>) -> PyResult<String> {
                $crate::errors::OrRaise::or_raise(calcore::loop_calibration::to_json(&self.0), py)
            }

            fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, pyo3::types::PyTuple>> {
                let py = slf.py();
                (slf.get_type().getattr("_from_json")?, (slf.get().to_json(py)?,)).into_pyobject(py)
            }

            /// Reads what pickling wrote.
            #[staticmethod]
            fn _from_json(py: Python<'_>, text: &str) -> PyResult<Self> {
                let read = calcore::loop_calibration::from_json(text);
                Ok(Self($crate::errors::OrRaise::or_raise(read, py)?))
            }

            $($rest)*
        }
    };
}
pub(super) use document;

/// A table of a notebook for a list of things.
pub(super) fn table_of<T>(caption: &str, headings: &[&str], things: &[T], row: impl Fn(&T) -> Vec<String>) -> String {
    crate::objects::html_table(caption, headings, &things.iter().map(row).collect::<Vec<_>>())
}
