// Copies the canvas onto a window's surface, pixel by pixel.

@group(0) @binding(0) var canvas: texture_2d<f32>;

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
    let color = textureLoad(canvas, vec2<u32>(position.xy), 0);
    if surface_encodes {
        return vec4(linear(color.r), linear(color.g), linear(color.b), color.a);
    }
    return color;
}
