// Rounded boxes as signed-distance shapes: a fill or a vertical gradient, stripes over it, an outline inside the
// edge, and an edge one pixel soft.

struct Viewport {
    size: vec2<f32>,
    spare: vec2<f32>,
}

@group(0) @binding(0) var<uniform> viewport: Viewport;

struct Vertex {
    // A corner of the pixels to paint.
    @location(0) place: vec2<i32>,
    // The box: left, top, width, height.
    @location(1) rect: vec4<f32>,
    // Top left, top right, bottom right, bottom left.
    @location(2) radii: vec4<f32>,
    // Straight colours.
    @location(3) fill: vec4<f32>,
    @location(4) fill_bottom: vec4<f32>,
    @location(5) border_color: vec4<f32>,
    @location(6) hatch_color: vec4<f32>,
    // Border width, stripe period, stripe width.
    @location(7) widths: vec4<f32>,
    // Unit vector across the stripes.
    @location(8) across: vec2<f32>,
}

struct Corner {
    @builtin(position) position: vec4<f32>,
    @location(0) @interpolate(flat) rect: vec4<f32>,
    @location(1) @interpolate(flat) radii: vec4<f32>,
    @location(2) @interpolate(flat) fill: vec4<f32>,
    @location(3) @interpolate(flat) fill_bottom: vec4<f32>,
    @location(4) @interpolate(flat) border_color: vec4<f32>,
    @location(5) @interpolate(flat) hatch_color: vec4<f32>,
    @location(6) @interpolate(flat) widths: vec4<f32>,
    @location(7) @interpolate(flat) across: vec2<f32>,
}

fn premultiplied(color: vec4<f32>) -> vec4<f32> {
    return vec4(color.rgb * color.a, color.a);
}

@vertex
fn vertex(box: Vertex) -> Corner {
    let at = vec2<f32>(box.place) / viewport.size * 2.0 - 1.0;
    return Corner(
        vec4(at.x, -at.y, 0.0, 1.0),
        box.rect,
        box.radii,
        premultiplied(box.fill),
        premultiplied(box.fill_bottom),
        premultiplied(box.border_color),
        premultiplied(box.hatch_color),
        box.widths,
        box.across,
    );
}

// How far outside of the rounded box a point lies, in pixels; negative inside.
fn distance_outside(from_center: vec2<f32>, half_size: vec2<f32>, radii: vec4<f32>) -> f32 {
    let upper = select(radii.x, radii.y, from_center.x > 0.0);
    let lower = select(radii.w, radii.z, from_center.x > 0.0);
    let radius = select(upper, lower, from_center.y > 0.0);
    let beyond = abs(from_center) - half_size + radius;
    return min(max(beyond.x, beyond.y), 0.0) + length(max(beyond, vec2(0.0))) - radius;
}

@fragment
fn fragment(box: Corner) -> @location(0) vec4<f32> {
    let from_corner = box.position.xy - box.rect.xy;
    let half_size = box.rect.zw * 0.5;
    let outside = distance_outside(from_corner - half_size, half_size, box.radii);

    var color = mix(box.fill, box.fill_bottom, clamp(from_corner.y / max(box.rect.w, 1.0), 0.0, 1.0));

    let period = box.widths.y;
    if period > 0.0 {
        // From the middle of the nearest stripe; stripes are anchored at the box, so that a bar's stripes stand
        // still while its end moves.
        let along = dot(from_corner, box.across) / period;
        let from_stripe = abs(fract(along) - 0.5) * period;
        let striped = clamp(box.widths.z * 0.5 - from_stripe + 0.5, 0.0, 1.0);
        color = color * (1.0 - box.hatch_color.a * striped) + box.hatch_color * striped;
    }
    let border = box.widths.x;
    if border > 0.0 {
        color = mix(box.border_color, color, clamp(0.5 - outside - border, 0.0, 1.0));
    }
    return color * clamp(0.5 - outside, 0.0, 1.0);
}
