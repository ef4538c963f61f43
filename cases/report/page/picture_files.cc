#include "cases/report/page/picture_files.h"

#include <tuple>

namespace limbwright
{
std::vector<PagePicture> pictures_in(const std::filesystem::path &results_folder)
{
  const auto folder = results_folder / pictures_folder;
  std::vector<PagePicture> pictures;
  for (const auto &[name, title, alt] :
       {std::tuple{"bow.png", "The limb unstrung, strung and at full draw, coloured by strain along the grain",
                   "The upper limb from the side in true scale; blue is pressed together, orange is stretched."},
        std::tuple{
            "index.png", "The limb coloured by the share of its strength that is used",
            "The upper limb from the side in true scale, unstrung, strung and at full draw; dark is near failure, purple is "
            "past it."},
        std::tuple{"glue-shear.png", "Shear in the glue lines at full draw",
                   "Curves of the shear in every glue line along the limb."}})
    if (std::filesystem::is_regular_file(folder / name))
      pictures.push_back({title, alt, folder / name});
  return pictures;
}
} // namespace limbwright
