//! An outline of curves as triangles, with a fringe one pixel wide over which the colour fades: soft edges
//! without multisampling, which would double the cost of every frame in software.

use fivemark_scene::draw::Segment;
use lyon::math::{Point, point};
use lyon::path::Path;
use lyon::path::iterator::PathIterator;
use lyon::tessellation::{BuffersBuilder, FillOptions, FillTessellator, FillVertex, VertexBuffers};

/// How far a straight piece may stray from the curve, in pixels.
const TOLERANCE_PX: f32 = 0.1;
/// Half of the fringe's width, pixels.
const HALF_FRINGE_PX: f32 = 0.5;
/// Corners sharper than this have their tips cut: the tip of the fringe goes out at most three times its half.
const MIN_TIP_COSINE: f32 = 1.0 / 3.0;
/// Points nearer than this are one point.
const SAME_POINT_PX: f32 = 1e-3;

/// Triangles relative to the outline's origin, in pixels.
#[derive(Debug, Default)]
pub(super) struct Mesh {
    /// Place and cover: 1 inside, 0 at the outer end of the fringe.
    pub vertices: Vec<([f32; 2], f32)>,
    pub indices: Vec<u32>,
}

/// Fills an outline, even-odd. One that can't be filled (not finite, no area) gives no triangles.
pub(super) fn fill(outline: &[Segment], scale: f32) -> Mesh {
    let contours = contours(outline, scale);
    let mut mesh = Mesh::default();
    let mut inner_path = Path::builder();
    let mut fringes = Vec::with_capacity(contours.len());
    for (index, contour) in contours.iter().enumerate() {
        let nested = contours
            .iter()
            .enumerate()
            .filter(|(other, around)| *other != index && contains(around, contour[0]));
        let is_hole = nested.count() % 2 == 1;
        let outward = if (signed_area(contour) > 0.0) == is_hole { -1.0 } else { 1.0 };
        let fringe = fringe(contour, outward);
        let mut inner = fringe.iter().map(|(inner, _)| *inner);
        if let Some(first) = inner.next() {
            inner_path.begin(first);
            inner.for_each(|at| {
                inner_path.line_to(at);
            });
            inner_path.end(true);
        }
        fringes.push(fringe);
    }
    let mut buffers: VertexBuffers<[f32; 2], u32> = VertexBuffers::new();
    let mut output = BuffersBuilder::new(&mut buffers, |vertex: FillVertex<'_>| vertex.position().to_array());
    let options = FillOptions::even_odd().with_tolerance(TOLERANCE_PX);
    if let Err(error) = FillTessellator::new().tessellate_path(&inner_path.build(), &options, &mut output) {
        tracing::warn!(?error, "an outline could not be filled and is left out");
        return mesh;
    }
    mesh.vertices.extend(buffers.vertices.into_iter().map(|at| (at, 1.0)));
    mesh.indices = buffers.indices;
    fringes.iter().for_each(|fringe| add_fringe(&mut mesh, fringe));
    mesh
}

/// Closed rings of at least three distinct points, in pixels.
fn contours(outline: &[Segment], scale: f32) -> Vec<Vec<Point>> {
    let to_px = |at: [f32; 2]| point(at[0] * scale, at[1] * scale);
    let finite = |at: [f32; 2]| to_px(at).is_finite();
    let all_finite = outline.iter().all(|segment| match *segment {
        Segment::MoveTo(to) | Segment::LineTo(to) => finite(to),
        Segment::QuadTo { ctrl, to } => finite(ctrl) && finite(to),
        Segment::CubicTo { ctrl1, ctrl2, to } => finite(ctrl1) && finite(ctrl2) && finite(to),
        Segment::Close => true,
    });
    if !all_finite {
        return Vec::new();
    }
    let mut builder = Path::builder();
    let mut open = false;
    for segment in outline {
        if let Segment::MoveTo(_) | Segment::Close = segment {
            if open {
                builder.end(true);
            }
            open = false;
        }
        match *segment {
            Segment::MoveTo(to) => {
                builder.begin(to_px(to));
                open = true;
            }
            Segment::LineTo(to) if open => {
                builder.line_to(to_px(to));
            }
            Segment::QuadTo { ctrl, to } if open => {
                builder.quadratic_bezier_to(to_px(ctrl), to_px(to));
            }
            Segment::CubicTo { ctrl1, ctrl2, to } if open => {
                builder.cubic_bezier_to(to_px(ctrl1), to_px(ctrl2), to_px(to));
            }
            // A piece without a start has no place; a close was handled above.
            _ => {}
        }
    }
    if open {
        builder.end(true);
    }
    rings(&builder.build())
}

fn rings(path: &Path) -> Vec<Vec<Point>> {
    let mut rings = Vec::new();
    let mut ring: Vec<Point> = Vec::new();
    let near = |a: Point, b: Point| (a - b).length() < SAME_POINT_PX;
    for event in path.iter().flattened(TOLERANCE_PX) {
        let at = match event {
            lyon::path::Event::Begin { at } => at,
            lyon::path::Event::Line { to, .. } => to,
            lyon::path::Event::End { .. } => {
                while ring.len() > 1 && near(ring[0], ring[ring.len() - 1]) {
                    ring.pop();
                }
                if ring.len() >= 3 {
                    rings.push(std::mem::take(&mut ring));
                }
                ring.clear();
                continue;
            }
            // Flattening leaves no curves.
            lyon::path::Event::Quadratic { to, .. } | lyon::path::Event::Cubic { to, .. } => to,
        };
        if ring.last().is_none_or(|last| !near(*last, at)) {
            ring.push(at);
        }
    }
    rings
}

fn signed_area(ring: &[Point]) -> f32 {
    pairs(ring).map(|(a, b)| a.x * b.y - b.x * a.y).sum::<f32>() * 0.5
}

fn pairs(ring: &[Point]) -> impl Iterator<Item = (Point, Point)> {
    ring.iter().copied().zip(ring.iter().copied().cycle().skip(1))
}

/// Whether a point lies in a ring: a ray to the right crosses its sides an odd number of times.
fn contains(ring: &[Point], at: Point) -> bool {
    let crossings = pairs(ring).filter(|(a, b)| {
        (a.y > at.y) != (b.y > at.y) && at.x < a.x + (at.y - a.y) / (b.y - a.y) * (b.x - a.x)
    });
    crossings.count() % 2 == 1
}

/// For each point of a ring its inner and outer neighbour.
fn fringe(ring: &[Point], outward: f32) -> Vec<(Point, Point)> {
    let count = ring.len();
    let normal = |from: Point, to: Point| {
        let along = (to - from).normalize();
        lyon::math::vector(along.y, -along.x) * outward
    };
    (0..count)
        .map(|index| {
            let at = ring[index];
            let before = normal(ring[(index + count - 1) % count], at);
            let after = normal(at, ring[(index + 1) % count]);
            let sum = before + after;
            // A spike that turns right back has no direction between its sides; either side's will do.
            let middle = if sum.length() < SAME_POINT_PX { after } else { sum.normalize() };
            let step = middle * (HALF_FRINGE_PX / middle.dot(after).max(MIN_TIP_COSINE));
            (at - step, at + step)
        })
        .collect()
}

fn add_fringe(mesh: &mut Mesh, fringe: &[(Point, Point)]) {
    let start = u32::try_from(mesh.vertices.len()).unwrap_or(u32::MAX);
    let count = u32::try_from(fringe.len()).unwrap_or(0);
    for (inner, outer) in fringe {
        mesh.vertices.push((inner.to_array(), 1.0));
        mesh.vertices.push((outer.to_array(), 0.0));
    }
    for index in 0..count {
        let (this, next) = (start + index * 2, start + (index + 1) % count * 2);
        mesh.indices.extend([this, this + 1, next, next, this + 1, next + 1]);
    }
}
