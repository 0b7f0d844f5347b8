#pragma once

#include "exit_code.hpp"

#include <slotwitness/desk/settings.hpp>

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/awaitable.hpp>

#include <optional>
#include <string>
#include <vector>

namespace slotwitness::program {

[[nodiscard]] ExitCode exit_code(links::LinkError::Kind kind);

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

/// Connects and asks every query without parameters once, one after the other, until the session
/// is gone. The error is why there was no session.
[[nodiscard]] boost::asio::awaitable<tl::expected<void, links::LinkError>>
ask_all(boost::asio::any_io_executor executor, const desk::ChassisSettings& settings, Asker& asker);

/// Runs it to its end on a loop of its own.
[[nodiscard]] tl::expected<void, links::LinkError> ask_all(const desk::ChassisSettings& settings,
                                                           Asker& asker);

/// What is wrong if the device reports another serial than the configuration names.
[[nodiscard]] std::optional<std::string> wrong_serial(const desk::ChassisSettings& settings,
                                                      const std::vector<state::Row>& rows);

} // namespace slotwitness::program
