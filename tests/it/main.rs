//! The whole program from outside.

mod outside;
