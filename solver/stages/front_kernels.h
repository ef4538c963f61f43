#pragma once

namespace limbwright
{
/// Distance between the columns of a front of n unknowns: rows beyond n are zero, and are there for whole registers; never a
/// power of two, on which columns would meet in a cache.
constexpr int front_stride(int n)
{
  constexpr int widest_register = 8;
  return (n + 2 * widest_register - 2) / widest_register * widest_register | widest_register;
}

/// Doubles in a vector register.
enum class Registers
{
  of_two = 2,
  of_four = 4,
  of_eight = 8
};
/// The widest that this processor has.
Registers widest_registers();

/// Eliminates the first n_pivots unknowns of a dense symmetric matrix of n, without a search for pivots. Its lower triangle, by
/// columns front_stride(n) apart, becomes the columns of L below the unit diagonal, and what is left of the other unknowns, their
/// Schur complement. diagonal: n_pivots values of D. registers: no wider than the processor's.
void eliminate_symmetric(double *front, int n, int n_pivots, double *diagonal, Registers registers = widest_registers());

/// The same of a general matrix, pivots sought among the rows of the first n_pivots unknowns: L below a unit diagonal, U on and
/// above it. Row j was exchanged with row_of[j], before column j was eliminated. Returns false when no pivot is left.
[[nodiscard]] bool eliminate_general(double *front, int n, int n_pivots, int *row_of, Registers registers = widest_registers());
} // namespace limbwright
