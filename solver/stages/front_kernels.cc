#include "solver/stages/front_kernels.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <type_traits>
#include <utility>

// Written once, compiled for each width of vector registers that a processor may have, and chosen as the program runs.
// What is not inlined would be compiled for the narrowest.
#define LIMBWRIGHT_INLINED __attribute__((always_inline))
#define LIMBWRIGHT_INLINE inline LIMBWRIGHT_INLINED

namespace limbwright
{
namespace
{
constexpr int panel = 16;           // pivots at a time: the panel of a front of 120 unknowns fits the first cache
constexpr double least_pivot = 0.1; // [1] over the greatest of its column; as UMFPACK's

template <int width>
struct Wide
{
  using Type __attribute__((vector_size(width * sizeof(double)), aligned(sizeof(double)), may_alias)) = double;
};

// c -= a b: c is (rows * width) x columns and a (rows * width) x depth, by columns stride and a_stride apart; b[k * columns + j].
template <int width, int rows, int columns>
LIMBWRIGHT_INLINE void subtract_tile(double *c, std::ptrdiff_t stride, const double *a, std::ptrdiff_t a_stride, const double *b,
                                     int depth)
{
  using Vector = typename Wide<width>::Type;
  Vector sum[rows][columns]; // NOLINT(modernize-avoid-c-arrays): registers
  for (int j = 0; j < columns; ++j)
    for (int i = 0; i < rows; ++i)
      sum[i][j] = *reinterpret_cast<const Vector *>(c + j * stride + i * width);
  for (int k = 0; k < depth; ++k)
    for (int i = 0; i < rows; ++i)
    {
      const Vector left = *reinterpret_cast<const Vector *>(a + k * a_stride + i * width);
      for (int j = 0; j < columns; ++j)
        sum[i][j] -= left * b[k * columns + j];
    }
  for (int j = 0; j < columns; ++j)
    for (int i = 0; i < rows; ++i)
      *reinterpret_cast<Vector *>(c + j * stride + i * width) = sum[i][j];
}

// Rows first to n of some columns.
template <int width, int columns>
LIMBWRIGHT_INLINE void subtract_columns(double *c, std::ptrdiff_t stride, const double *a, std::ptrdiff_t a_stride,
                                        const double *b, int depth, int first, int n)
{
  int i = first;
  for (; i + width < n; i += 2 * width)
    subtract_tile<width, 2, columns>(c + i, stride, a + i, a_stride, b, depth);
  for (; i < n; i += width)
    subtract_tile<width, 1, columns>(c + i, stride, a + i, a_stride, b, depth);
}

constexpr int columns_at_once = 6;

// Calls work(j, columns) for all columns from first on, columns_at_once or one: a compile-time number.
template <typename Work>
LIMBWRIGHT_INLINE void by_columns(int first, int n, const Work &work)
{
  int j = first;
  for (; j + columns_at_once <= n; j += columns_at_once)
    work(j, std::integral_constant<int, columns_at_once>{});
  for (; j < n; ++j)
    work(j, std::integral_constant<int, 1>{});
}

template <int width>
LIMBWRIGHT_INLINE void symmetric(double *front, int n, int n_pivots, double *diagonal)
{
  const std::ptrdiff_t stride = front_stride(n);
  for (int pivot = 0; pivot < n_pivots; pivot += panel)
  {
    const int depth = std::min(panel, n_pivots - pivot), after = pivot + depth;
    for (int j = pivot; j < after; ++j)
    {
      double *column = front + j * stride;
      const double inverse = 1. / column[j];
      diagonal[j] = column[j];
      for (int l = j + 1; l < after; ++l)
      {
        const double factor = column[l] * inverse;
        double *other = front + l * stride;
        for (int i = l; i < n; ++i)
          other[i] -= factor * column[i];
      }
      for (int i = j + 1; i < n; ++i)
        column[i] *= inverse;
    }
    const double *left = front + pivot * stride;
    by_columns(after, n,
               [&](int j, auto columns) LIMBWRIGHT_INLINED
               {
                 std::array<double, panel * columns> right; // NOLINT(cppcoreguidelines-pro-type-member-init)
                 for (int k = 0; k < depth; ++k)
                   for (int l = 0; l < columns; ++l)
                     right[k * columns + l] = diagonal[pivot + k] * left[k * stride + j + l];
                 subtract_columns<width, columns>(front + j * stride, stride, left, stride, right.data(), depth, j, n);
               });
  }
}

template <int width>
LIMBWRIGHT_INLINE bool general(double *front, int n, int n_pivots, int *row_of)
{
  const std::ptrdiff_t stride = front_stride(n);
  for (int pivot = 0; pivot < n_pivots; pivot += panel)
  {
    const int depth = std::min(panel, n_pivots - pivot), after = pivot + depth;
    for (int j = pivot; j < after; ++j)
    {
      double *column = front + j * stride;
      int best = j;
      for (int i = j + 1; i < n_pivots; ++i)
        best = std::abs(column[i]) > std::abs(column[best]) ? i : best;
      // A limb's matrix is nearly symmetric, its diagonal nearly always good enough.
      best = std::abs(column[j]) >= least_pivot * std::abs(column[best]) ? j : best;
      row_of[j] = best;
      if (!(std::abs(column[best]) > 0.))
        return false;
      for (int l = 0; l < n && best != j; ++l)
        std::swap(front[l * stride + j], front[l * stride + best]);
      const double inverse = 1. / column[j];
      for (int i = j + 1; i < n; ++i)
        column[i] *= inverse;
      for (int l = j + 1; l < after; ++l)
      {
        double *other = front + l * stride;
        const double factor = other[j];
        for (int i = j + 1; i < n; ++i)
          other[i] -= factor * column[i];
      }
    }
    // What the inverse of the panel's own triangle takes off the rows of U, as a product: 1 - L^-1.
    std::array<double, static_cast<std::size_t>(panel) * panel> taken{};
    for (int j = 0; j < depth; ++j)
      for (int i = j + 1; i < depth; ++i)
      {
        double sum = front[(pivot + j) * stride + pivot + i];
        for (int k = j + 1; k < i; ++k)
          sum -= front[(pivot + k) * stride + pivot + i] * taken[j * panel + k];
        taken[j * panel + i] = sum;
      }
    by_columns(after, n,
               [&](int j, auto columns) LIMBWRIGHT_INLINED
               {
                 std::array<double, panel * columns> right; // NOLINT(cppcoreguidelines-pro-type-member-init)
                 double *c = front + j * stride;
                 const auto pack = [&]() LIMBWRIGHT_INLINED
                 {
                   for (int k = 0; k < depth; ++k)
                     for (int l = 0; l < columns; ++l)
                       right[k * columns + l] = c[l * stride + pivot + k];
                 };
                 pack();
                 subtract_columns<width, columns>(c + pivot, stride, taken.data(), panel, right.data(), depth, 0, depth);
                 pack();
                 subtract_columns<width, columns>(c, stride, front + pivot * stride, stride, right.data(), depth, after, n);
               });
  }
  return true;
}

#if defined(__x86_64__)
__attribute__((target("avx2,fma"))) void symmetric_of_four(double *front, int n, int n_pivots, double *diagonal)
{
  symmetric<4>(front, n, n_pivots, diagonal);
}
__attribute__((target("avx512f"))) void symmetric_of_eight(double *front, int n, int n_pivots, double *diagonal)
{
  symmetric<8>(front, n, n_pivots, diagonal);
}
__attribute__((target("avx2,fma"))) bool general_of_four(double *front, int n, int n_pivots, int *row_of)
{
  return general<4>(front, n, n_pivots, row_of);
}
__attribute__((target("avx512f"))) bool general_of_eight(double *front, int n, int n_pivots, int *row_of)
{
  return general<8>(front, n, n_pivots, row_of);
}
#endif
} // namespace

Registers widest_registers()
{
#if defined(__x86_64__)
  static const Registers widest = __builtin_cpu_supports("avx512f")                                 ? Registers::of_eight
                                  : __builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma") ? Registers::of_four
                                                                                                    : Registers::of_two;
  return widest;
#else
  return Registers::of_two;
#endif
}

void eliminate_symmetric(double *front, int n, int n_pivots, double *diagonal, [[maybe_unused]] Registers registers)
{
#if defined(__x86_64__)
  if (registers == Registers::of_eight)
    return symmetric_of_eight(front, n, n_pivots, diagonal);
  if (registers == Registers::of_four)
    return symmetric_of_four(front, n, n_pivots, diagonal);
#endif
  symmetric<2>(front, n, n_pivots, diagonal);
}

bool eliminate_general(double *front, int n, int n_pivots, int *row_of, [[maybe_unused]] Registers registers)
{
#if defined(__x86_64__)
  if (registers == Registers::of_eight)
    return general_of_eight(front, n, n_pivots, row_of);
  if (registers == Registers::of_four)
    return general_of_four(front, n, n_pivots, row_of);
#endif
  return general<2>(front, n, n_pivots, row_of);
}
} // namespace limbwright
