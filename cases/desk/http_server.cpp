#include "cases/desk/http_server.hpp"

#include <fmt/format.h>
#include <httplib.h>

#include <nlohmann/json.hpp>

#include "cases/reader/case_error.hpp"

namespace setstress {

namespace {

constexpr std::size_t largest_body = 2'000'000;  // [bytes]
constexpr int threads = 16, most_listeners = 8;
constexpr double burst = 400, per_second = 60;  // requests

Knock knock_of(const httplib::Request& request) {
  return {request.get_header_value("Host"), request.get_header_value("Origin"),
          request.get_header_value("Sec-Fetch-Site"), request.path};
}

/// As it is: within one machine packing takes far longer than carrying, and the library packs what it is
/// given whole.
void send(httplib::Response& response, HttpReply reply) {
  response.status = reply.status;
  if (reply.body.empty()) return response.set_content("", reply.type);
  const auto body = std::make_shared<const std::string>(std::move(reply.body));
  response.set_content_provider(body->size(), reply.type,
                                [body](std::size_t from, std::size_t size, httplib::DataSink& sink) {
                                  return sink.write(body->data() + from, size);
                                });
}

void refuse(httplib::Response& response, int status, const std::string& sentence) {
  response.status = status;
  response.set_content(nlohmann::ordered_json{{"ok", false}, {"message", sentence}, {"key", nullptr}}.dump(),
                       "application/json");
}

/// A stream that ends with the page or with the server.
void stream_news(httplib::Response& response, const News& news, std::atomic<int>& listeners,
                 const std::atomic<bool>& stopping) {
  if (listeners.fetch_add(1) >= most_listeners) {
    --listeners;
    return refuse(response, 503, "this desk is open in too many windows; close one");
  }
  auto version = std::make_shared<std::uint64_t>(0);
  response.set_chunked_content_provider(
      "text/event-stream",
      [&news, &stopping, version](std::size_t, httplib::DataSink& sink) {
        if (stopping) return false;
        const std::string told = news(*version);
        if (stopping) return false;
        const std::string text = told.empty() ? std::string(": here\n\n") : "data: " + told + "\n\n";
        return sink.write(text.data(), text.size());
      },
      [&listeners](bool) { --listeners; });
}

}  // namespace

struct HttpServer::Library {
  httplib::Server server;
  RateLimit rate{burst, per_second};
  std::atomic<int> listeners = 0;
};

HttpServer::HttpServer(int port) : library_(std::make_unique<Library>()) {
  httplib::Server& server = library_->server;
  server.new_task_queue = [] { return new httplib::ThreadPool(threads); };
  server.set_payload_max_length(largest_body);
  server.set_keep_alive_timeout(1);
  server.set_read_timeout(5);
  server.set_tcp_nodelay(true);
  server.set_default_headers({{"Referrer-Policy", "no-referrer"},
                              {"X-Content-Type-Options", "nosniff"},
                              {"X-Frame-Options", "SAMEORIGIN"},
                              {"Cross-Origin-Resource-Policy", "same-origin"},
                              {"Cross-Origin-Opener-Policy", "same-origin"},
                              {"Cache-Control", "no-store"}});
  constexpr const char* here = "127.0.0.1";
  port_ = port == 0 ? server.bind_to_any_port(here) : (server.bind_to_port(here, port) ? port : -1);
  if (port_ <= 0)
    throw CaseError(port == 0
                        ? std::string("no port of 127.0.0.1 can be listened on")
                        : fmt::format("--port is {}; it cannot be listened on: another program has it, or "
                                      "it is reserved; leave --port out for one that is free",
                                      port));
}

HttpServer::~HttpServer() = default;

void HttpServer::serve(const Gate& gate, const std::function<HttpReply(const HttpRequest&)>& answer,
                       const News& news) {
  httplib::Server& server = library_->server;
  server.set_pre_routing_handler([&](const httplib::Request& request, httplib::Response& response) {
    using enum httplib::Server::HandlerResponse;
    if (const auto refusal = gate.refuses(knock_of(request))) {
      refuse(response, refusal->status, refusal->sentence);
      return Handled;
    }
    if (!library_->rate.allows()) {
      refuse(response, 429, "too many requests at once; wait a second");
      return Handled;
    }
    return Unhandled;
  });
  const auto answered = [&](const httplib::Request& request, httplib::Response& response) {
    const std::string path = gate.inside(request.path);
    if (request.method == "GET" && path == "/api/events")
      return stream_news(response, news, library_->listeners, stopping_);
    send(response,
         answer({request.method, path, request.body, {request.params.begin(), request.params.end()}}));
  };
  server.Get(".*", answered).Post(".*", answered).Put(".*", answered);
  server.set_error_handler([](const httplib::Request&, httplib::Response& response) {
    if (response.body.empty() && response.status == 413)
      refuse(response, 413, "that is larger than a case file can be");
  });
  server.set_exception_handler([](const httplib::Request&, httplib::Response& response, std::exception_ptr) {
    refuse(response, 500, "the desk could not answer that; it goes on");
  });
  server.listen_after_bind();
}

void HttpServer::stop() {
  stopping_ = true;
  library_->server.stop();
}

}  // namespace setstress
