#pragma once
// What this machine can do: the limits that the floor in solver/README.md is drawn from.

namespace setstress::bench {

/// Memory bandwidth of a(i) = b(i) + c d(i) on arrays far larger than any cache [GB/s], counting 24 bytes an
/// entry.
double triad_bandwidth(int threads);
/// Dense double-precision multiplication of 2000 x 2000 matrices by the BLAS that the factorisations use
/// [Gflop/s].
double gemm_rate(int threads);
/// Largest memory this process has used so far [bytes].
double peak_memory();

}  // namespace setstress::bench
