//! Newtypes for the walls between rooms. Inside a kernel the bare number is used, with its unit last in the name.

macro_rules! quantities {
    ($($(#[$doc:meta])* $name:ident;)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(pub f64);
    )*};
}

quantities! {
    /// Degrees Celsius.
    Celsius;
    /// Metres.
    Metres;
    /// Square metres.
    SquareMetres;
    /// Cubic metres.
    CubicMetres;
    /// Hectares.
    Hectares;
    /// Grams, live and wet unless said otherwise.
    Grams;
    /// Kilograms.
    Kilograms;
    /// Hours.
    Hours;
}
