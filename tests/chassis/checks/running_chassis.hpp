#pragma once

#include "../../live/process.hpp"
#include "../../twins/folder.hpp"

#include <nlohmann/json.hpp>

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

namespace slotwitness::chassis::checks {

/// The program in a folder of its own, with a key that may log in (`id`) and one that may not
/// (`stranger`). Everything goes with the object.
class RunningChassis {
  public:
    /// Does not start it. Throws if the folder or the keys cannot be made.
    RunningChassis();

    /// Starts it on a port that the system chooses and waits until it is ready. Throws if it does
    /// not start.
    void start(const std::vector<std::string>& more_options = {});
    /// Its command line, for tests that start it by themselves.
    [[nodiscard]] std::vector<std::string>
    command(const std::vector<std::string>& more_options) const;

    [[nodiscard]] const nlohmann::json& ready() const { return ready_; }
    [[nodiscard]] std::uint16_t port() const;
    [[nodiscard]] std::string file(const std::string& name) const { return folder_.file(name); }
    [[nodiscard]] live::Process& process() { return *process_; }

    /// One order on the control socket, and its reply.
    [[nodiscard]] nlohmann::json control(const std::string& line) const;
    /// Every line that --record wrote so far.
    [[nodiscard]] std::vector<nlohmann::json> recorded() const;

    /// OpenSSH's client, told to read no file of the user's, with the host keys of `ready`;
    /// standard output and error come together.
    [[nodiscard]] live::Ran ssh(const std::string& command,
                                const std::vector<std::string>& options = {},
                                const std::string& key = "id") const;

  private:
    twins::Folder folder_;
    std::unique_ptr<live::Process> process_;
    nlohmann::json ready_;
};

} // namespace slotwitness::chassis::checks
