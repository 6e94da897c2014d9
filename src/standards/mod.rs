//! standards
