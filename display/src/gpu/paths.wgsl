// Filled outlines as triangles with a soft fringe.

struct Viewport {
    size: vec2<f32>,
    spare: vec2<f32>,
}

@group(0) @binding(0) var<uniform> viewport: Viewport;

struct Corner {
    @builtin(position) position: vec4<f32>,
    @location(0) cover: f32,
    @location(1) @interpolate(flat) color: vec4<f32>,
    @location(2) @interpolate(flat) clip: vec4<f32>,
}

@vertex
fn vertex(
    // Pixels.
    @location(0) place: vec2<f32>,
    // 1 inside, 0 at the outer end of the fringe.
    @location(1) cover: f32,
    @location(2) color: vec4<f32>,
    // Left, top, right, bottom in pixels: nothing outside is painted.
    @location(3) clip: vec4<i32>,
) -> Corner {
    let at = place / viewport.size * 2.0 - 1.0;
    return Corner(vec4(at.x, -at.y, 0.0, 1.0), cover, vec4(color.rgb * color.a, color.a), vec4<f32>(clip));
}

@fragment
fn fragment(corner: Corner) -> @location(0) vec4<f32> {
    let at = corner.position.xy;
    let inside = all(at >= corner.clip.xy) && all(at < corner.clip.zw);
    return corner.color * select(0.0, clamp(corner.cover, 0.0, 1.0), inside);
}
