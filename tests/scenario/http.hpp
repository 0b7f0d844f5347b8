#pragma once

#include <nlohmann/json.hpp>
#include <tl/expected.hpp>

#include <cstdint>
#include <string>

namespace slotwitness::scenario {

struct HttpAnswer {
    unsigned status = 0;
    std::string etag;
    nlohmann::json body;
};

/// One request to the daemon on loopback, one connection each; blocks. The error says what failed.
[[nodiscard]] tl::expected<HttpAnswer, std::string>
request(const std::string& method, std::uint16_t port, const std::string& target,
        const nlohmann::json& body = nullptr, const std::string& prefer = "",
        const std::string& if_none_match = "", const std::string& if_match = "");

} // namespace slotwitness::scenario
