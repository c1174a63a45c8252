#include "cases/study/table/kept_summary.hpp"

#include <zlib.h>

#include <memory>
#include <stdexcept>

namespace setstress {

std::string deflated(std::string_view text) {
  uLongf size = compressBound(static_cast<uLong>(text.size()));
  std::string bytes(size, '\0');
  if (compress(reinterpret_cast<Bytef*>(bytes.data()), &size, reinterpret_cast<const Bytef*>(text.data()),
               static_cast<uLong>(text.size())) != Z_OK)
    throw std::runtime_error("a summary cannot be compressed");
  bytes.resize(size);
  return bytes;
}

std::string inflated(std::string_view bytes) {
  z_stream stream{};
  if (inflateInit(&stream) != Z_OK) throw std::runtime_error("zlib cannot be started");
  const std::unique_ptr<z_stream, decltype(&inflateEnd)> ended(&stream, &inflateEnd);
  stream.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(bytes.data()));
  stream.avail_in = static_cast<uInt>(bytes.size());
  std::string text, piece(1U << 16U, '\0');
  for (int state = Z_OK; state != Z_STREAM_END;) {
    stream.next_out = reinterpret_cast<Bytef*>(piece.data());
    stream.avail_out = static_cast<uInt>(piece.size());
    state = inflate(&stream, Z_NO_FLUSH);
    if (state != Z_OK && state != Z_STREAM_END) throw std::runtime_error("a kept summary is damaged");
    text.append(piece, 0, piece.size() - stream.avail_out);
  }
  return text;
}

}  // namespace setstress
