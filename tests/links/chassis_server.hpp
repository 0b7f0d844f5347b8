#pragma once

#include <slotwitness/links/link.hpp>

#include <memory>
#include <string>
#include <vector>

namespace slotwitness::links::test {

/// A simulated chassis with login shells, on a thread of its own, that writes down every request
/// and every byte that reaches it. Everything goes with the object.
class ChassisServer {
  public:
    ChassisServer();
    ~ChassisServer();
    ChassisServer(const ChassisServer&) = delete;
    ChassisServer& operator=(const ChassisServer&) = delete;

    /// The way to it, with a key that it lets in.
    [[nodiscard]] Target target() const;

    /// What one session asked of it.
    struct Heard {
        std::vector<std::string> requests; ///< types, each once, in the order of their first coming
        std::vector<std::string> commands; ///< of exec requests
        std::string typed;                 ///< all data, of all channels
    };
    /// Of each session, in their order. Each byte stands as the character of its value.
    [[nodiscard]] std::vector<Heard> heard() const;

  private:
    struct Running;
    std::unique_ptr<Running> running_;
};

} // namespace slotwitness::links::test
