// The face that a cut opens: every tetrahedron that the plane crosses gives one or two triangles.

const EDGES = [[0, 1], [0, 2], [0, 3], [1, 2], [1, 3], [2, 3]];

/** Orders the four crossings of a cut through the middle of a tetrahedron around their quadrilateral. */
function around(crossings) {
  const [first, ...others] = crossings;
  const opposite = others.find(({ edge }) => !edge.some((corner) => first.edge.includes(corner)));
  const [second, fourth] = others.filter((each) => each !== opposite);
  return [first, second, opposite, fourth];
}

/**
 * Cuts `tetrahedra` at distances `height` (by point) of zero. `wanted`: by point, whether its region is shown.
 * Returns corners as pairs of points with the share of the way, three to a triangle.
 */
export function cutFace(tetrahedra, height, wanted) {
  const from = [];
  const to = [];
  const share = [];
  const add = ({ edge: [a, b] }) => {
    from.push(a);
    to.push(b);
    share.push(height[a] / (height[a] - height[b]));
  };
  for (let t = 0; t < tetrahedra.length; t += 4) {
    if (!wanted[tetrahedra[t]]) continue;
    const corners = [0, 1, 2, 3].map((c) => tetrahedra[t + c]);
    const above = corners.filter((point) => height[point] >= 0).length;
    if (above === 0 || above === 4) continue;
    const crossings = EDGES.map(([a, b]) => ({ edge: [corners[a], corners[b]] }))
      .filter(({ edge: [a, b] }) => height[a] >= 0 !== height[b] >= 0);
    const ring = crossings.length === 4 ? around(crossings) : crossings;
    [ring[0], ring[1], ring[2]].forEach(add);
    if (ring.length === 4) [ring[0], ring[2], ring[3]].forEach(add);
  }
  return { from: Int32Array.from(from), to: Int32Array.from(to), share: Float32Array.from(share) };
}
