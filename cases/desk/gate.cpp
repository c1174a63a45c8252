#include "cases/desk/gate.hpp"

#include <fmt/format.h>
#include <sys/random.h>

#include <algorithm>
#include <array>
#include <stdexcept>
#include <utility>

namespace setstress {

namespace {

/// In the same time whatever differs.
bool same(const std::string& a, const std::string& b) {
  if (a.size() != b.size()) return false;
  int difference = 0;
  for (std::size_t i = 0; i < a.size(); ++i) difference |= a[i] ^ b[i];
  return difference == 0;
}

/// "TOKEN" of "/TOKEN/api/read".
std::string first_part(const std::string& path) {
  if (path.empty() || path.front() != '/') return "";
  return path.substr(1, path.find('/', 1) - 1);
}

}  // namespace

std::string random_token() {
  std::array<unsigned char, 16> bytes{};
  if (getrandom(bytes.data(), bytes.size(), 0) != static_cast<ssize_t>(bytes.size()))
    throw std::runtime_error("this system gives no random numbers to make a token of");
  std::string token;
  for (const unsigned char byte : bytes) token += fmt::format("{:02x}", byte);
  return token;
}

Gate::Gate(std::string token, int port)
    : token_(std::move(token)),
      host_(fmt::format("127.0.0.1:{}", port)),
      local_(fmt::format("localhost:{}", port)) {}

std::optional<Refusal> Gate::refuses(const Knock& knock) const {
  if (knock.host != host_ && knock.host != local_)
    return Refusal{421, "the desk answers only under its own address, 127.0.0.1"};
  if (!knock.origin.empty() && knock.origin != "http://" + knock.host)
    return Refusal{403, "the desk answers only its own page, not one from elsewhere"};
  if (!knock.fetch_site.empty() && knock.fetch_site != "same-origin" && knock.fetch_site != "none")
    return Refusal{403, "the desk answers only its own page, not one from elsewhere"};
  if (!same(first_part(knock.path), token_))
    return Refusal{403, "the address lacks the token of this desk; open the address that it printed"};
  return std::nullopt;
}

std::string Gate::inside(const std::string& path) const {
  return path.size() > token_.size() + 1 ? path.substr(token_.size() + 1) : "";
}

RateLimit::RateLimit(double burst, double per_second)
    : burst_(burst), per_second_(per_second), left_(burst) {}

bool RateLimit::allows(std::chrono::steady_clock::time_point now) {
  const std::lock_guard lock(mutex_);
  if (last_)
    left_ = std::min(burst_, left_ + per_second_ * std::chrono::duration<double>(now - *last_).count());
  last_ = now;
  if (left_ < 1) return false;
  left_ -= 1;
  return true;
}

}  // namespace setstress
