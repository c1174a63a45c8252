#include "solver/linear/coarse/coarse_factor.hpp"

#include "solver/linear/matrix/not_positive_definite.hpp"

namespace setstress {

CoarseFactor::CoarseFactor(const BlockPattern& pattern)
    : analysis_(std::make_shared<const BlockCholesky>(pattern)),
      multifrontal_(std::make_shared<const Multifrontal>(
          pattern, std::make_shared<const SupernodalPattern>(analysis_->pattern()))) {}

/// Where single precision was not enough once, it will not be later; a matrix that double precision refuses
/// too says nothing about the next.
void CoarseFactor::factorise(const std::vector<Block>& values) {
  if (!careful_ && multifrontal_->factorise(values, factor_)) return;
  if (!careful_) careful_ = std::make_unique<BlockCholesky>(*analysis_);
  try {
    careful_->factorise(values);
    careful_->copy_to(multifrontal_->pattern(), factor_);
  } catch (const NotPositiveDefinite&) {
    careful_.reset();
    throw;
  }
}

std::size_t CoarseFactor::bytes() const {
  return analysis_->bytes() + multifrontal_->bytes() + (careful_ ? careful_->bytes() : 0) + factor_.bytes();
}

}  // namespace setstress
