//! The whole program, driven from outside.

mod store;
