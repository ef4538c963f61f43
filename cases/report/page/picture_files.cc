#include "cases/report/page/picture_files.h"

#include <tuple>

namespace limbwright
{
std::vector<PagePicture> pictures_in(const std::filesystem::path &results_folder)
{
  const auto folder = results_folder / pictures_folder;
  std::vector<PagePicture> pictures;
  for (const auto &[name, title, alt] :
       {std::tuple{"bow.png", "The limb unstrung, braced and at full draw, colored by strain along the grain",
                   "Side view of the upper limb, true scale; blue is compression, orange is tension."},
        std::tuple{"index.png", "The limb colored by % of strength used",
                   "Side view of the upper limb, true scale, unstrung, braced and at full draw; dark is near failure, purple is "
                   "past it."},
        std::tuple{"glue-shear.png", "Shear in the glue lines at full draw", "Shear in every glue line along the limb."}})
    if (std::filesystem::is_regular_file(folder / name))
      pictures.push_back({title, alt, folder / name});
  return pictures;
}
} // namespace limbwright
