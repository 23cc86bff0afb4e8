//! The whole program, driven from outside.

mod desk;
