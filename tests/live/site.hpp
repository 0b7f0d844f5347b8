#pragma once

#include "../scenario/http.hpp"
#include "../twins/folder.hpp"
#include "process.hpp"

#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace slotwitness::live {

[[nodiscard]] std::string program(const std::string& name); ///< built beside the tests

/// A folder with keys, and in it a simulated chassis and a daemon, each a process of its own.
/// Everything goes with it.
class Site {
  public:
    Site();
    ~Site();
    Site(const Site&) = delete;
    Site& operator=(const Site&) = delete;

    /// How the simulated chassis is reached; for `configure`.
    std::string profile = SLOTWITNESS_FIXTURES "/quillon/profile.toml";

    void start_chassis(std::vector<std::string> more_options = {});
    void stop_chassis() { chassis_.reset(); }
    /// Writes known_hosts with the chassis' present host key.
    void trust_chassis();
    /// Writes the configuration: `lines` stand in its [[chassis]], `daemon_lines` end its [daemon].
    void configure(const std::string& lines = "", const std::string& daemon_lines = "");
    /// Starts the daemon and waits until it listens; false if it ended instead (see
    /// `daemon_errors`).
    [[nodiscard]] bool start_daemon(const std::vector<std::string>& more_options = {});
    void kill_daemon();
    int stop_daemon(); ///< by SIGTERM; its exit code

    /// One order to the simulated chassis; the test fails if it is not done.
    void order(const std::string& line) const;
    [[nodiscard]] std::string open_gate(const std::string& sentence,
                                        unsigned expected_status = 201);
    [[nodiscard]] nlohmann::json gate(const std::string& id);
    /// Asks with the long wait until the verdict is no longer pending.
    [[nodiscard]] nlohmann::json decided(const std::string& id);
    [[nodiscard]] nlohmann::json get(const std::string& target);
    using Done = std::function<bool(const nlohmann::json& shown)>;
    /// Asks with the long wait until `done`, and gives what it shows then.
    nlohmann::json until(const std::string& target, const Done& done);
    nlohmann::json gate_until(const std::string& id, const Done& done) {
        return until("/v1/gates/" + id, done);
    }

    [[nodiscard]] std::string file(const std::string& name) const { return folder_.file(name); }
    [[nodiscard]] std::string text(const std::string& name) const { return folder_.text(name); }
    /// As the simulated chassis told them when it listened: name, serial, port, host key of each.
    [[nodiscard]] const nlohmann::json& all_chassis() const { return all_chassis_; }
    [[nodiscard]] std::uint16_t chassis_port() const { return chassis_port_; }
    [[nodiscard]] std::uint16_t daemon_port() const { return daemon_port_; }

    static constexpr const char* serial = "QL40000017";

  private:
    twins::Folder folder_;
    std::unique_ptr<Process> chassis_;
    std::unique_ptr<Process> daemon_;
    nlohmann::json all_chassis_;
    std::uint16_t chassis_port_ = 0;
    std::uint16_t daemon_port_ = 0;
};

} // namespace slotwitness::live
