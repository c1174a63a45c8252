#pragma once
// How threads wait for each other on a machine that others use too.

namespace setstress {

/// By default threads of libgomp spin for milliseconds where they meet, which on a shared machine takes the
/// very core that the thread they wait for needs. Lets them spin for about 50 microseconds, then sleep. The
/// library reads its environment before main(), so the program starts itself again, once, with GOMP_SPINCOUNT
/// set; it stays as it is where the user has set that or OMP_WAIT_POLICY, and where it cannot start itself.
void wait_without_long_spins(char** arguments);

}  // namespace setstress
