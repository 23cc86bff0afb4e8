//! The program from outside.

mod outside;
