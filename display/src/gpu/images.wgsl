// Pictures, stretched into rectangles or repeated in them, with an edge one pixel soft.

struct Viewport {
    size: vec2<f32>,
    spare: vec2<f32>,
}

@group(0) @binding(0) var<uniform> viewport: Viewport;
@group(1) @binding(0) var picture: texture_2d<f32>;
@group(1) @binding(1) var once: sampler;
@group(1) @binding(2) var repeated: sampler;

struct Vertex {
    // A corner of the pixels to paint.
    @location(0) place: vec2<i32>,
    // What is covered: left, top, width, height.
    @location(1) rect: vec4<f32>,
    // Width and height of one copy.
    @location(2) copy: vec2<f32>,
    @location(3) opacity: f32,
}

struct Corner {
    @builtin(position) position: vec4<f32>,
    @location(0) @interpolate(flat) rect: vec4<f32>,
    @location(1) @interpolate(flat) copy: vec2<f32>,
    @location(2) @interpolate(flat) opacity: f32,
}

@vertex
fn vertex(image: Vertex) -> Corner {
    let at = vec2<f32>(image.place) / viewport.size * 2.0 - 1.0;
    return Corner(vec4(at.x, -at.y, 0.0, 1.0), image.rect, image.copy, image.opacity);
}

@fragment
fn fragment(image: Corner) -> @location(0) vec4<f32> {
    let from_corner = image.position.xy - image.rect.xy;
    // Picture pixels for each pixel of the target; where there are more than one, a smaller copy is read.
    let density = vec2<f32>(textureDimensions(picture)) / image.copy;
    let level = max(log2(max(density.x, density.y)), 0.0);
    let at = from_corner / image.copy;
    var color: vec4<f32>;
    // At the edge of a picture that is there once its last pixels go on, not those of its other side.
    if all(image.copy == image.rect.zw) {
        color = textureSampleLevel(picture, once, at, level);
    } else {
        color = textureSampleLevel(picture, repeated, at, level);
    }
    let inside = min(from_corner, image.rect.zw - from_corner) + 0.5;
    let covered = clamp(inside.x, 0.0, 1.0) * clamp(inside.y, 0.0, 1.0);
    return color * image.opacity * covered;
}
