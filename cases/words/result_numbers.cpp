#include "cases/words/result_numbers.hpp"

namespace setstress {

namespace {

constexpr const char *of_walls = "walls.csv", *of_energies = "energies.csv", *of_holds = "holds.csv",
                     *of_readings = "readings.csv", *of_summary = "summary.json";

constexpr ResultNumber all_numbers[] = {
    {of_walls, "time_s", "since the bond was cured"},
    {of_walls, "event", "what happens then; empty for the steps between"},
    {of_walls, "wall", "of the preparation or specimen; all: the whole bond"},
    {of_walls, "substrate", "what the wall is made of there; all: the whole wall"},
    {of_walls, "area_mm2", "of the wall, filled or not"},
    {of_walls, "placed_area_mm2",
     "of it, with composite on it by then; the columns to conversion_p05 are of this"},
    {of_walls, "normal_traction_mean_MPa",
     "pull (positive) or push on the tooth side of the bond, mean by area"},
    {of_walls, "normal_traction_p95_MPa", "95 % of the area carries less, averaged along the bond first"},
    {of_walls, "shear_traction_mean_MPa", "size of the shear on the bond, mean by area"},
    {of_walls, "shear_traction_p95_MPa", "95 % of the area carries less, averaged along the bond first"},
    {of_walls, "stress_to_strength_mean",
     "pull and shear together over the strength the bond has at that moment, mean by area; 1: reached"},
    {of_walls, "stress_to_strength_p95", "95 % of the area has less, averaged along the bond first"},
    {of_walls, "area_fraction_above_1", "share at its strength, or softening"},
    {of_walls, "debonded_fraction", "share that has lost all strength"},
    {of_walls, "largest_gap_um", "widest opening where debonded"},
    {of_walls, "mean_gap_um", "opening where debonded and nothing elsewhere, mean by area"},
    {of_walls, "gap_volume_mm3", "between tooth and filling where debonded"},
    {of_walls, "conversion_mean", "of the composite beside it, share of what it can reach, mean by area"},
    {of_walls, "conversion_p05", "95 % of the area has more"},
    {of_walls, "share_of_whole_at_strength", "at strength or softening, share of the wall, filled or not"},
    {of_walls, "share_of_whole_debonded", "debonded, share of the wall, filled or not"},
    {of_walls, "share_of_whole_softened", "has begun to lose strength, share of the wall, filled or not"},
    {of_walls, "mean_strength_lost_of_whole", "strength lost, mean over the wall, filled or not"},
    {of_walls, "chance_started_failing",
     "chance that it has started to fail somewhere by then, from the scatter of sticks and its area; empty "
     "where not known"},
    {of_energies, "shrinkage_work_mJ", "done by the composite's shrinkage"},
    {of_energies, "load_work_mJ", "done by pressures and strains laid on"},
    {of_energies, "elastic_tooth_mJ", "stored in the tooth or fixture"},
    {of_energies, "elastic_filling_mJ", "stored in the composite"},
    {of_energies, "elastic_bond_mJ", "stored in the adhesive layer"},
    {of_energies, "elastic_support_mJ", "stored in the springs that hold the root"},
    {of_energies, "set_in_mJ", "made unrecoverable because filling or bond stiffened while stressed"},
    {of_energies, "fracture_mJ", "spent on letting go, by the rate-independent law"},
    {of_energies, "viscous_mJ", "spent on the viscous damping of the softening bond"},
    {of_energies, "flow_mJ", "lost in the flow of the composite"},
    {of_readings, "frame_force_N",
     "of a specimen between plates: pull on the frame, or on what holds its top"},
    {of_readings, "frame_stress_MPa", "the same over the section of the specimen"},
    {of_readings, "frame_yield_um", "how far a frame with a stiffness has given way"},
    {of_readings, "axial_shrinkage", "approach of the backs of the plates over the height of the composite"},
    {of_readings, "surface_sink_middle_um",
     "how far the middle of the filling's occlusal surface has sunk since all of it was placed"},
    {of_readings, "surface_sink_mean_um", "the same, mean over that surface"},
    {of_readings, "surface_sink_volume_mm3", "sunk volume over all of the free outer surface of the filling"},
    {of_holds, "hold", "number of the hold in the case file"},
    {of_holds, "surface", "that is held"},
    {of_holds, "force_x_N", "of the hold on the body, along x"},
    {of_holds, "force_y_N", "along y"},
    {of_holds, "force_z_N", "along z"},
    {of_summary, "worst",
     "a wall's numbers at its worst instant: the largest area at strength, then the highest p95"},
    {of_summary, "end", "a wall's numbers at the end"},
    {of_summary, "at_events", "a wall's numbers at each event"},
    {of_summary, "highest_p95", "the highest 95th percentile of the ratio while all of the wall is placed"},
    {of_summary, "higher_while_part_filled", "where a part of the wall bore more than the whole ever does"},
    {of_summary, "highest_mean", "the highest mean of the ratio while all of the wall is placed"},
    {of_summary, "strength_field", "how strength varies along the bond, where the case says so"},
    {of_summary, "frame", "what the frame of a specimen between plates reads"},
    {of_summary, "surface_sink", "how far the occlusal surface of the filling sinks"},
    {of_summary, "composites_that_flow", "composites of the case that are given a law of flow"},
    {of_summary, "averaging_points_mean",
     "points that a stress is averaged over; below 5, percentiles and areas at strength follow the mesh"},
    {of_summary, "c_factors", "bonded over free area of each increment when it is placed"},
    {of_summary, "chair_time_s", "from the cured bond to the last light off or increment placed"},
    {of_summary, "cusp_deflection",
     "movement of cusps towards the cavity, mean over each side and at named points"},
    {of_summary, "tensile_stress_at_events",
     "largest principal stress in enamel, dentin and filling: 50th, 95th and 99th percentile by volume"},
    {of_summary, "cure", "light and conversion of each increment at its top and bottom"},
    {of_summary, "warnings", "what makes these numbers unfit to choose a plan by"},
    {of_summary, "mirror_walls", "walls that tooth, plan, light and supports mirror"},
    {of_summary, "largest_relative_error",
     "of the energy account: work done less energy stored and lost, over work"},
};

}  // namespace

std::span<const ResultNumber> result_numbers() {
  return all_numbers;
}

}  // namespace setstress
