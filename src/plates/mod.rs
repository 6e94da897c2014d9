//! plates
