#pragma once
// Memory for large arrays that are filled before they are read.

#include <cstddef>
#include <memory>

namespace setstress {

/// Numbers without initial values: to set them first would cost a pass over memory, in one thread.
template <typename T>
class LargeArray {
 public:
  /// Contents are lost if the size changes. Throws std::bad_alloc.
  void resize(std::size_t size) {
    if (size == size_) return;
    values_.reset();
    size_ = 0;
    values_ = std::make_unique_for_overwrite<T[]>(size);
    size_ = size;
  }
  [[nodiscard]] T* data() { return values_.get(); }
  [[nodiscard]] const T* data() const { return values_.get(); }
  [[nodiscard]] std::size_t size() const { return size_; }
  [[nodiscard]] T& operator[](std::size_t i) { return values_[i]; }
  [[nodiscard]] const T& operator[](std::size_t i) const { return values_[i]; }

 private:
  std::unique_ptr<T[]> values_;
  std::size_t size_ = 0;
};

}  // namespace setstress
