//! The pages: what a key does on each (`acted`), and how each is drawn
//! (`draw`).

pub mod crews;
pub mod daybook;
pub mod days;
pub mod forms;
pub mod help;
pub mod holds;
pub mod house;
pub mod pieces;
pub mod row;
pub mod stores;
pub mod were;
