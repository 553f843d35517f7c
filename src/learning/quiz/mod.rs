//! Items of a quiz: what is asked, what may be answered, how an answer is graded, and which items come next.
//!
//! A screen takes an item of a [`bank::Bank`], asks it with a seed ([`item::Item::ask`]), collects a
//! [`response::Response`], runs what the answer needs ([`asked::Asked::needed`], [`asked::Needed::see`]: the only slow step) and
//! calls [`asked::Asked::grade`]. [`select`] and [`review`] say what to ask.

pub mod asked;
pub mod bank;
pub mod choice;
pub mod fault;
pub mod formula;
pub mod item;
pub mod number;
pub mod numeric;
pub mod order;
pub mod point;
pub mod response;
pub mod review;
pub mod select;
pub mod sketch;
pub mod text;
pub mod tune;
