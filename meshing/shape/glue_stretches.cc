#include "meshing/shape/glue_stretches.h"

#include <algorithm>

namespace limbwright
{
std::vector<GlueStretch> glue_stretches(const LimbShape &shape)
{
  std::vector<double> borders{shape.description().root_station, shape.description().tip_station};
  for (const LaminationEnd &end : shape.lamination_ends())
    borders.push_back(end.station);
  std::sort(borders.begin(), borders.end());
  borders.erase(std::unique(borders.begin(), borders.end()), borders.end());

  std::vector<GlueStretch> stretches;
  for (std::size_t line = 0; line + 1 < shape.n_laminations(); ++line)
    for (std::size_t i = 0; i + 1 < borders.size(); ++i)
    {
      const double middle = 0.5 * (borders[i] + borders[i + 1]);
      const std::size_t back = shape.next_toward_back(line, middle);
      if (!shape.present(line, middle) || back == shape.n_laminations())
        continue;
      if (GlueStretch *last = stretches.empty() ? nullptr : &stretches.back();
          last != nullptr && last->line == line && last->back == back && last->to == borders[i])
        last->to = borders[i + 1];
      else
        stretches.push_back({line, back, borders[i], borders[i + 1]});
    }
  return stretches;
}

const GlueStretch *stretch_at(const std::vector<GlueStretch> &stretches, const std::size_t line, const double station)
{
  const GlueStretch *found = nullptr;
  for (const GlueStretch &stretch : stretches)
    if (stretch.line == line && stretch.reaches(station))
      found = &stretch;
  return found;
}

bool runs_through(const std::vector<GlueStretch> &stretches, const std::size_t line, const double from, const double to)
{
  double reached = from;
  while (reached < to - same_station)
  {
    const GlueStretch *stretch = stretch_at(stretches, line, reached);
    if (stretch == nullptr || stretch->to <= reached + same_station)
      return false;
    reached = stretch->to;
  }
  return true;
}
} // namespace limbwright
