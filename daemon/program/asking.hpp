#pragma once

#include "exit_code.hpp"

#include <slotwitness/desk/desk.hpp>
#include <slotwitness/desk/settings.hpp>
#include <slotwitness/links/host_key.hpp>
#include <slotwitness/witness/event.hpp>

#include <optional>
#include <string>
#include <vector>

namespace slotwitness::program {

[[nodiscard]] ExitCode exit_code(links::LinkError::Kind kind);

/// How the answer ended, with why it is not whole, if it is not.
[[nodiscard]] witness::Ending ending_of(const links::Answer& answer);

/// What a pass over the queries of one chassis brings, as it comes.
class Asker {
  public:
    virtual ~Asker() = default;
    /// The session is there; what it uses, where that can be told.
    virtual void connected(const std::optional<links::Reached>&) {}
    /// Nothing of the query has left yet.
    virtual void asking(const std::string& key) = 0;
    virtual void answered(const std::string& key, const links::Answer& answer) = 0;
    virtual void failed(const std::string& key, const links::LinkError& error) = 0;
    /// Our own guard does not send it.
    virtual void refused(const std::string& key, const state::Problem& problem) = 0;
};

/// Connects and asks each of these once, one after the other, until the session is gone, on a loop
/// of its own. The error is why there was no session.
[[nodiscard]] tl::expected<void, links::LinkError>
ask_each(const desk::ChassisSettings& settings, const std::vector<profiles::Asking>& askings,
         Asker& asker);
/// Every query without parameters.
[[nodiscard]] tl::expected<void, links::LinkError> ask_all(const desk::ChassisSettings& settings,
                                                           Asker& asker);

/// The host keys that the device shows; nothing is accepted and nothing else is asked.
[[nodiscard]] tl::expected<std::vector<links::HostKey>, links::LinkError>
host_keys_of(const desk::ChassisSettings& settings);

/// Trying again would not help: an operator must mend key, host key, address or profile.
[[nodiscard]] bool session_refused(const desk::Desk& desk, const std::string& chassis);

/// What is wrong if the device reports another serial than the configuration names.
[[nodiscard]] std::optional<std::string> wrong_serial(const desk::ChassisSettings& settings,
                                                      const std::vector<state::Row>& rows);

} // namespace slotwitness::program
