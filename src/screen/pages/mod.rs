//! The pages: what a key does on each (`acted`), and how each is drawn
//! (`draw`).

pub mod daybook;
pub mod forms;
pub mod help;
pub mod house;
pub mod row;
pub mod were;
