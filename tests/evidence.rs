//! Facts and verdicts to a standing: worked examples, reference values, and properties that must hold for any set.
#![allow(clippy::unwrap_used, reason = "a test may stop at what it did not expect")]

#[path = "evidence/builder.rs"]
mod builder;
#[path = "evidence/outcomes.rs"]
mod outcomes;
#[path = "evidence/properties.rs"]
mod properties;
#[path = "evidence/random_sets.rs"]
mod random_sets;
#[path = "evidence/reference_values.rs"]
mod reference_values;
#[path = "evidence/scales.rs"]
mod scales;
#[path = "evidence/simulation.rs"]
mod simulation;
#[path = "evidence/standing_table.rs"]
mod standing_table;
#[path = "evidence/validation.rs"]
mod validation;
#[path = "evidence/worked_example.rs"]
mod worked_example;
