// The 3D view of one result.

import "@kitware/vtk.js/Rendering/OpenGL/Profiles/Geometry.js";
import vtkActor from "@kitware/vtk.js/Rendering/Core/Actor.js";
import vtkCellArray from "@kitware/vtk.js/Common/Core/CellArray.js";
import vtkDataArray from "@kitware/vtk.js/Common/Core/DataArray.js";
import vtkGenericRenderWindow from "@kitware/vtk.js/Rendering/Misc/GenericRenderWindow.js";
import vtkMapper from "@kitware/vtk.js/Rendering/Core/Mapper.js";
import vtkPlane from "@kitware/vtk.js/Common/DataModel/Plane.js";
import vtkPolyData from "@kitware/vtk.js/Common/DataModel/PolyData.js";

/** Cells of `size` corners from a flat list of points. */
function cellsOf(corners, size) {
  const values = new Uint32Array((corners.length / size) * (size + 1));
  for (let cell = 0, at = 0; cell < corners.length; cell += size) {
    values[at++] = size;
    for (let c = 0; c < size; ++c) values[at++] = corners[cell + c];
  }
  return vtkCellArray.newInstance({ values });
}

/** One thing drawn: triangles or lines of one colour, or coloured by values at points. */
export class Layer {
  #data = vtkPolyData.newInstance();
  #mapper = vtkMapper.newInstance({ interpolateScalarsBeforeMapping: true, scalarVisibility: false });
  actor = vtkActor.newInstance();
  constructor(look = {}) {
    this.#mapper.setInputData(this.#data);
    this.actor.setMapper(this.#mapper);
    this.actor.getProperty().set({ ambient: 0.45, diffuse: 0.6, specular: 0, ...look });
  }
  setTriangles(points, corners) {
    this.#data.getPoints().setData(points, 3);
    this.#data.setPolys(cellsOf(corners, 3));
    this.#data.modified();
  }
  setLines(points, corners) {
    this.#data.getPoints().setData(points, 3);
    this.#data.setLines(cellsOf(corners, 2));
    this.#data.modified();
  }
  /** Coloured by `values` at points on the scale of a lookup table. */
  colourBy(values, table) {
    this.#data.getPointData().setScalars(vtkDataArray.newInstance({ name: "values", values }));
    this.#mapper.set({ scalarVisibility: true, lookupTable: table, useLookupTableScalarRange: true, colorMode: 1 });
    this.#mapper.setScalarRange(...table.getRange());
    this.#data.modified();
  }
  /** Coloured by RGB bytes at points. */
  colourWith(rgb) {
    const colours = vtkDataArray.newInstance({ name: "colours", values: rgb, numberOfComponents: 3 });
    this.#data.getPointData().setScalars(colours);
    this.#mapper.set({ scalarVisibility: true, colorMode: 0 });
    this.#data.modified();
  }
  colourPlain(rgb) {
    this.#mapper.setScalarVisibility(false);
    this.actor.getProperty().setColor(...rgb.map((channel) => channel / 255));
  }
  cutBy(plane) {
    this.#mapper.removeAllClippingPlanes();
    if (plane) this.#mapper.addClippingPlane(plane);
  }
}

/** A plane that keeps what lies on the side of `normal`. */
export function plane(origin, normal) {
  return vtkPlane.newInstance({ origin, normal });
}

/** Whether this browser draws in space (WebGL 2, as vtk.js asks for it). */
export function canDraw() {
  return document.createElement("canvas").getContext("webgl2") !== null;
}

/** A window with its camera; tells `oncamera` whenever that moved. */
export class View {
  #window = vtkGenericRenderWindow.newInstance({ listenWindowResize: false });
  #asked = false;
  #wasAt = "";
  constructor(container, oncamera) {
    this.container = container;
    this.oncamera = oncamera;
    this.#window.setContainer(container);
    const canvas = container.querySelector("canvas");
    canvas.setAttribute("aria-hidden", "true");
    container.setAttribute("tabindex", "-1");  // the stage around it takes the focus
    this.#resize();
    new ResizeObserver(() => this.#resize()).observe(container);
    this.#window.getInteractor().onAnimation(() => this.#cameraMoved());
    this.#window.getInteractor().onEndInteractionEvent?.(() => this.#cameraMoved());
    this.camera.onModified(() => this.#cameraMoved());
  }
  get renderer() {
    return this.#window.getRenderer();
  }
  get camera() {
    return this.renderer.getActiveCamera();
  }
  add(layer) {
    this.renderer.addActor(layer.actor);
  }
  setBackground(rgb) {
    this.renderer.setBackground(...rgb.map((channel) => channel / 255));
  }
  get #hasSize() {
    return this.container.clientWidth > 0 && this.container.clientHeight > 0;
  }
  #resize() {
    if (!this.#hasSize) return;
    this.#window.resize();
    this.render();
  }
  /** Draws soon, once. */
  render() {
    if (this.#asked) return;
    this.#asked = true;
    requestAnimationFrame(() => {
      this.#asked = false;
      this.drawNow();
    });
  }
  drawNow() {
    if (!this.#hasSize) return;
    this.renderer.resetCameraClippingRange();
    this.#window.getRenderWindow().render();
    this.ondrawn?.();
  }
  get pose() {
    const { camera } = this;
    return { position: camera.getPosition(), focus: camera.getFocalPoint(), up: camera.getViewUp() };
  }
  set pose({ position, focus, up }) {
    this.#wasAt = JSON.stringify({ position, focus, up });
    this.camera.set({ viewUp: up });
    this.camera.setFocalPoint(...focus);
    this.camera.setPosition(...position);
    this.render();
  }
  #cameraMoved() {
    const now = JSON.stringify(this.pose);
    if (now === this.#wasAt) return;
    this.#wasAt = now;
    this.oncamera?.(this.pose);
    this.render();
  }
  /** Turns about the focus, in degrees. */
  turn(azimuth, elevation) {
    this.camera.azimuth(azimuth);
    this.camera.elevation(elevation);
    this.camera.orthogonalizeViewUp();
    this.render();
  }
  zoom(factor) {
    this.camera.dolly(factor);
    this.render();
  }
  /** Places on the container [CSS px] of points [mm]; behind the eye: null. */
  project(points) {
    const { width, height } = this.container.getBoundingClientRect();
    const matrix = this.camera.getCompositeProjectionMatrix(width / height, -1, 1);
    return points.map(([x, y, z]) => {
      const row = (r) => matrix[4 * r] * x + matrix[4 * r + 1] * y + matrix[4 * r + 2] * z + matrix[4 * r + 3];
      const w = row(3);
      return w > 0 ? [(0.5 + row(0) / w / 2) * width, (0.5 - row(1) / w / 2) * height] : null;
    });
  }
  /** {origin, direction} of the line of sight through a place on the container [CSS px]. */
  sightLine(x, y) {
    const { width, height } = this.container.getBoundingClientRect();
    const { position, focus, up } = this.pose;
    const minus = (a, b) => a.map((each, i) => each - b[i]);
    const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
    const unit = (a) => a.map((each) => each / Math.hypot(...a));
    const forward = unit(minus(focus, position));
    const right = unit(cross(forward, up));
    const above = cross(right, forward);
    const half = Math.tan((this.camera.getViewAngle() * Math.PI) / 360);
    const across = ((2 * x) / width - 1) * half * (width / height);
    const upward = (1 - (2 * y) / height) * half;
    return { origin: position, direction: unit(forward.map((f, i) => f + across * right[i] + upward * above[i])) };
  }
}
