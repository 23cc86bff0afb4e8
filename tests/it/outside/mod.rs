//! The computations against what others found or published; the source stands
//! beside each check.

mod asked;
mod carry;
mod cord;
mod days;
mod finish;
mod footing;
mod gust;
mod holds;
mod lift;
mod member;
mod proof;
mod roof;
mod setout;
mod thatch;
mod timber;

mod plumb;
mod square;
