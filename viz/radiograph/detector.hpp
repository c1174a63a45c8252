#pragma once
// From attenuation along rays to what a detector shows, and what stands out of its noise.

#include "viz/radiograph/shadow.hpp"

namespace setstress::viz {

/// A beam of one energy and a digital sensor. All assumptions; hardening and scatter are left out.
struct Detector {
  /// Of aluminium [1/mm]: half lost in 2.5 mm, the least that IEC 60601-1-3 asks of a dental tube at 70 kV
  /// (from memory).
  double aluminium = 0.6931471805599453 / 2.5;
  double pixel = 0.03;  ///< [mm], 0.02 to 0.04 are usual (from memory)
  double blur = 0.05;  ///< deviation of the Gaussian that a point becomes [mm] (assumption: 3 to 4 line pairs
                       ///< a mm at half contrast)
  double noise = 0.01;  ///< deviation of a pixel in the open beam, of its signal [-]; grows with the root of
                        ///< what is lost (assumption)
};

/// Signal over that of the open beam [-]: exp(-mu d), blurred. `aluminium` is what lies in the way, as
/// mm of aluminium.
Image signal_behind(const Image& aluminium, const Detector& detector);

/// Deviation of the noise at each pixel [-]: of quanta, so with the root of the signal.
Image noise_of(const Image& signal, const Detector& detector);

/// The signal with noise drawn for it; the same seed gives the same.
Image with_noise(const Image& signal, const Detector& detector, unsigned seed);

/// How far a change that is known beforehand stands out of the noise of all its pixels, in deviations [-]:
/// the root of the sum of squares. An eye that looks for something unknown needs about 5 (Rose 1948 J Opt Soc
/// Am 38:196, from memory), and more beside other shadows.
double stands_out(const Image& change, const Image& noise);

}  // namespace setstress::viz
