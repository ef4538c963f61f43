// Makes pictures of a results folder: a program of its own, for VTK's rendering ends a program that has no display.
#include "cases/app/picture_views.h"

#include <cstdio>
#include <cstdlib>
#include <exception>

int main(int argc, char **argv)
{
  using namespace limbwright::picture;
  if (argc != 3)
  {
    std::fputs("Usage: limbwright-picture RESULTS FOLDER\n"
               "Reads a results folder of limbwright; writes bow.png, index.png and, where the limb has glue lines, "
               "glue-shear.png into FOLDER.\nWithout a screen: xvfb-run -a limbwright-picture RESULTS FOLDER\n",
               stderr);
    return 2;
  }
  if (std::getenv("DISPLAY") == nullptr)
  {
    std::fputs("limbwright-picture: there is no display; run it under xvfb-run -a\n", stderr);
    return 1;
  }
  try
  {
    const std::filesystem::path folder(argv[2]);
    std::filesystem::create_directories(folder);
    const ResultsData data = read_results(argv[1]);
    draw_bow_picture(data, folder / "bow.png");
    draw_index_picture(data, folder / "index.png");
    if (!data.glue.empty())
      draw_glue_picture(data, folder / "glue-shear.png");
  }
  catch (const std::exception &error)
  {
    std::fprintf(stderr, "limbwright-picture: %s\n", error.what());
    return 1;
  }
  return 0;
}
