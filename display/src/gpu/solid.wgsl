// Plain rectangles of one colour.

struct Viewport {
    size: vec2<f32>,
    spare: vec2<f32>,
}

@group(0) @binding(0) var<uniform> viewport: Viewport;

struct Corner {
    @builtin(position) position: vec4<f32>,
    @location(0) @interpolate(flat) color: vec4<f32>,
}

@vertex
fn vertex(
    // Pixels.
    @location(0) place: vec2<i32>,
    @location(1) color: vec4<f32>,
) -> Corner {
    let at = vec2<f32>(place) / viewport.size * 2.0 - 1.0;
    return Corner(vec4(at.x, -at.y, 0.0, 1.0), vec4(color.rgb * color.a, color.a));
}

@fragment
fn fragment(corner: Corner) -> @location(0) vec4<f32> {
    return corner.color;
}
