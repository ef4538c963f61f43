#include "cases/report/page/advice.h"

#include "cases/report/words.h"

#include <cmath>

namespace limbwright
{
namespace
{
bool is_composite(const Case &bow_case, const HotSpot &spot)
{
  const Material *material = material_of(bow_case, spot);
  return material != nullptr && material->kind == MaterialKind::composite;
}

/// A lamination of the limb ends, or a patch of glue has its edge, within an inch of the place.
bool near_layer_end(const Case &bow_case, const HotSpot &spot)
{
  const LimbDescription &limb = limb_of(bow_case, spot.limb);
  const auto near = [&](double station) { return std::abs(station - spot.station) < 0.0254; };
  for (const auto &lamination : limb.laminations)
    if ((lamination.start > limb.root_station && near(lamination.start)) ||
        (lamination.end < limb.tip_station && near(lamination.end)))
      return true;
  for (const auto &line : limb.glue)
    for (const auto &patch : line.patches)
      if (near(patch.from) || near(patch.to))
        return true;
  return false;
}

Advice along_the_grain(const Case &bow_case, const HotSpot &spot, bool tension)
{
  const bool glass = is_composite(bow_case, spot);
  const std::string where = near_layer_end(bow_case, spot)
                                ? " A layer ends next to this spot: a longer, gentler taper that ends elsewhere spreads the bend."
                                : " Take wood off where the limb bends too little, on both sides of this spot, not here.";
  if (tension)
    return {glass ? "Milky or white streaks across the back, single fibers lifting, a tick during the draw."
                  : "Splinters lifting from the back, hairline cracks that run out at an edge or start at a knot, a tick during "
                    "the draw. A back breaks without warning: stop at the first sign.",
            (glass ? "A thinner core, or a longer limb; edges rounded, with no scratches across them."
                   : "A back that follows one growth ring or straight grain, rounded edges, a thinner limb, a longer bow; a "
                     "backing that is stronger in tension.") +
                where};
  return {glass ? "White lines or a dull patch across the belly; a click as the string comes back."
                : "Fine wrinkles across the belly (chrysals, frets): sight along it against the light after each draw. Set that "
                  "keeps growing.",
          (glass ? "Thicker glass on the belly over a thinner core, or a longer limb."
                 : "A wider, thinner limb; a belly wood stronger in compression; drier wood; a back trapped narrower.") +
              where};
}

Advice in_the_glue(FailureMode mode)
{
  const std::string look =
      "A tick during the draw, a hairline along the glue at the edge, a hollow sound when tapped, milky glass over it.";
  if (mode == FailureMode::glue_peel)
    return {look, "A feathered end instead of a square one, a gentler fade, a wrap or an overlay over the end; no reverse bend "
                  "pulled tight under the back."};
  return {look, "Rough, clean surfaces, enough glue and even pressure there; a longer taper where a layer ends; a wider limb. A "
                "sound bond has plenty in reserve; flaws decide."};
}
} // namespace

Advice advice_on(const Case &bow_case, const HotSpot &spot)
{
  switch (spot.mode)
  {
  case FailureMode::tension_along:
    return along_the_grain(bow_case, spot, true);
  case FailureMode::compression_along:
  case FailureMode::belly_set:
  case FailureMode::belly_crushing:
    return along_the_grain(bow_case, spot, false);
  case FailureMode::interaction:
    return along_the_grain(bow_case, spot, spot.face == Face::back);
  case FailureMode::across_tension:
    return {"A crack along the layer at the edge of the limb; a layer lifting at its end.",
            "A smoother curve there, a feathered end, a gentler fade; a wrap."};
  case FailureMode::across_compression:
    return {"A dent or a crushed edge where something presses on the limb.", "A wider seat, a harder overlay."};
  case FailureMode::shear:
  case FailureMode::rolling_shear:
    return {"A crack along the grain near the middle of the thickness, at the edge of the limb, often in its outer third.",
            "A wider or thicker limb there; straight grain; a core wood stronger in shear."};
  case FailureMode::splinter:
  case FailureMode::slanting_grain:
    return {"A hair of wood lifting where a fiber runs out of the face, or a slanting hairline; worse after each draw.",
            "Another piece, or this one turned over; a straight-grained backing; linen, silk or a wrap over the spot to hold the "
            "splinter down; a wider limb there."};
  case FailureMode::knot_cracks:
    return {"A crack across the knot or along its rim.", "Leave the limb wider there; drill the knot out and fill it; put it "
                                                         "toward the belly, or near the middle of the thickness."};
  case FailureMode::wrap_breaks:
    return {"Broken or slack turns of the wrap, often at its end.", "A thicker or stronger thread, or more layers of it."};
  case FailureMode::patch_growth:
    return {"A tick during the draw, a hollow sound when tapped that reaches farther after each draw, milky glass that spreads.",
            "Unstring the bow and repair the spot before another draw: thin glue drawn in and clamped, or a wrap over both of "
            "its ends."};
  case FailureMode::edge_growth:
  case FailureMode::glue_shear:
  case FailureMode::glue_peel:
  case FailureMode::glue_mixed:
    return in_the_glue(spot.mode);
  }
  return {};
}
} // namespace limbwright
