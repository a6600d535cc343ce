//! Photographs of printed cable lists: from pixels to a list whose cells are sure, doubtful or
//! unread.
//!
//! 1. [`load`](crate::picture::load): the file as a picture that stands upright.
//! 2. [`sheet`]: where the sheet lies in it, and how it looks flat.
//! 3. [`engine`], [`network`]: where text stands, and which signs it has. [`wheel`]: the models.
//! 4. [`rows`]: lines of the list. [`words`]: what can stand in it. [`decode`]: what stands in it.
#![allow(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_possible_wrap,
    reason = "coordinates of pixels and likelihoods: small numbers, held within their picture"
)]

mod accept;
mod cells;
pub mod columns;
pub mod csv;
mod decode;
pub mod engine;
mod heading;
mod ink;
pub mod join;
pub mod json;
pub mod list;
mod look;
pub mod network;
mod number;
mod outline;
pub mod picture_of;
pub mod reader;
mod regions;
pub mod review;
mod rows;
pub mod sheet;
mod similar;
pub mod site_words;
mod table;
pub mod wheel;
pub mod words;
