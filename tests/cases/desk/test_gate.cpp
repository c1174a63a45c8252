#include "cases/desk/gate.hpp"

#include <catch2/catch.hpp>

using namespace setstress;

TEST_CASE("the desk answers its own page and nobody else") {
  const Gate gate("0123abcd", 8080);
  const Knock own{"127.0.0.1:8080", "http://127.0.0.1:8080", "same-origin", "/0123abcd/api/read"};
  CHECK_FALSE(gate.refuses(own));
  CHECK(gate.inside(own.path) == "/api/read");
  const auto status = [&](auto change) {
    Knock knock = own;
    change(knock);
    const auto refusal = gate.refuses(knock);
    return refusal ? refusal->status : 200;
  };
  CHECK(status([](Knock& k) { k.origin.clear(), k.fetch_site = "none"; }) ==
        200);  // typed into the address bar
  CHECK(status([](Knock& k) { k.host = k.origin = ""; }) == 421);
  CHECK(status([](Knock& k) { k.host = "rebound.example:8080", k.origin = "http://rebound.example:8080"; }) ==
        421);
  CHECK(status([](Knock& k) { k.host = "127.0.0.1:8081"; }) == 421);
  CHECK(status([](Knock& k) { k.origin = "http://elsewhere.example"; }) == 403);
  CHECK(status([](Knock& k) { k.origin = "null"; }) == 403);
  CHECK(status([](Knock& k) { k.origin.clear(), k.fetch_site = "cross-site"; }) == 403);
  for (const char* path : {"", "/", "/api/read", "/0123abce/api/read", "/0123abcd0/", "0123abcd/"})
    CHECK(status([&](Knock& k) { k.path = path; }) == 403);
}

TEST_CASE("tokens of the desk are long and differ") {
  CHECK(random_token().size() == 32);
  CHECK(random_token() != random_token());
}

TEST_CASE("so many requests in a burst, then so many a second") {
  RateLimit limit(3, 2);
  const auto now = std::chrono::steady_clock::now();
  for (int i = 0; i < 3; ++i) CHECK(limit.allows(now));
  CHECK_FALSE(limit.allows(now));
  CHECK(limit.allows(now + std::chrono::milliseconds(500)));
  CHECK_FALSE(limit.allows(now + std::chrono::milliseconds(500)));
}
