#pragma once
// HTTP on this machine alone: what comes in as values, what goes out as values.

#include <atomic>
#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <string>

#include "cases/desk/gate.hpp"

namespace setstress {

struct HttpRequest {
  std::string method, path, body;
  std::map<std::string, std::string> query;
};

struct HttpReply {
  int status = 200;
  std::string type = "application/json";
  std::string body;
};

/// Waits for news after the version, which it brings up to date; empty where there is none yet (a sign of
/// life is sent then).
using News = std::function<std::string(std::uint64_t& version)>;

/// Listens on 127.0.0.1. Whatever the gate refuses is turned away before anything else looks at it.
class HttpServer {
 public:
  /// `port` 0: any that is free. Throws CaseError where it is taken.
  explicit HttpServer(int port);
  HttpServer(const HttpServer&) = delete;
  HttpServer& operator=(const HttpServer&) = delete;
  ~HttpServer();

  [[nodiscard]] int port() const { return port_; }
  /// Serves until stop(). `answer` gets paths without the token; "/api/events" is a stream of news.
  void serve(const Gate& gate, const std::function<HttpReply(const HttpRequest&)>& answer, const News& news);
  void stop();

 private:
  struct Library;
  std::unique_ptr<Library> library_;
  int port_ = 0;
  std::atomic<bool> stopping_ = false;
};

}  // namespace setstress
