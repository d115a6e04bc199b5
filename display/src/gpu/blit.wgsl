// Copies a rectangle of the canvas onto a window's surface, pixel by pixel, turned by quarter turns.

struct Copied {
    // The pixel at x, y shows the canvas at origin + x * across + y * down.
    origin: vec2<i32>,
    across: vec2<i32>,
    down: vec2<i32>,
    // Of what is shown; beyond it there is nothing.
    size: vec2<i32>,
    // 0: the picture, 1: its colours over black, 2: its alpha as grey.
    show: u32,
    // Whether the surface wants colours that are not multiplied with alpha.
    straight: u32,
}

@group(0) @binding(0) var canvas: texture_2d<f32>;
@group(0) @binding(1) var<uniform> copied: Copied;

// Whether the surface encodes what is written to it, so that it must be given linear light.
override surface_encodes: bool = false;

@vertex
fn vertex(@builtin(vertex_index) corner: u32) -> @builtin(position) vec4<f32> {
    // One triangle over the whole target.
    let at = vec2(f32(corner & 1u), f32(corner >> 1u)) * 4.0 - 1.0;
    return vec4(at, 0.0, 1.0);
}

// IEC 61966-2-1: from the sRGB encoding to linear light.
fn linear(encoded: f32) -> f32 {
    if encoded <= 0.04045 {
        return encoded / 12.92;
    }
    return pow((encoded + 0.055) / 1.055, 2.4);
}

@fragment
fn fragment(@builtin(position) position: vec4<f32>) -> @location(0) vec4<f32> {
    let at = vec2<i32>(position.xy);
    if any(at >= copied.size) {
        return vec4(0.0);
    }
    var color = textureLoad(canvas, copied.origin + at.x * copied.across + at.y * copied.down, 0);
    if copied.show == 1u {
        color = vec4(color.rgb, 1.0);
    } else if copied.show == 2u {
        color = vec4(color.aaa, 1.0);
    } else if copied.straight == 1u && color.a > 0.0 {
        color = vec4(color.rgb / color.a, color.a);
    }
    if surface_encodes {
        return vec4(linear(color.r), linear(color.g), linear(color.b), color.a);
    }
    return color;
}
