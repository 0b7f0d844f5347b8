#pragma once

#include "exit_code.hpp"

#include <slotwitness/desk/desk.hpp>
#include <slotwitness/desk/settings.hpp>
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

/// Trying again would not help: an operator must mend key, host key, address or profile.
[[nodiscard]] bool session_refused(const desk::Desk& desk, const std::string& chassis);

/// What is wrong if the device reports another serial than the configuration names.
[[nodiscard]] std::optional<std::string> wrong_serial(const desk::ChassisSettings& settings,
                                                      const std::vector<state::Row>& rows);

} // namespace slotwitness::program
