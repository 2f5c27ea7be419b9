//! Recordings on one clock: stretches, findings, the report.

pub mod reading;
pub mod report;
