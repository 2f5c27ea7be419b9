//! The border between the page and the crates.
