//! What is painted, read back pixel by pixel, on whatever adapter the machine has (Mesa's software Vulkan where
//! there is no GPU).

mod blending;
mod canvas;
mod damage;
mod frames;
#[path = "../program/heat.rs"]
mod heat;
mod images;
mod safe_area;
mod shapes;
mod support;
