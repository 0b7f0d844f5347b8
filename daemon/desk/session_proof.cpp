#include "router_session.hpp"

#include <slotwitness/log/log.hpp>
#include <slotwitness/replay/reread.hpp>

// What must be known of a session before anything that comes by it counts: which chassis answers,
// and that its words are those of the profile.
namespace slotwitness::desk {

namespace {

/// Nothing as well where two rows tell two: nobody knows which is the chassis'.
std::optional<std::string> serial_in(const state::Reading& reading) {
    std::optional<std::string> serial;
    for (const state::Row& row : reading.rows)
        if (row.kind == state::Kind::chassis)
            if (const auto fact = row.facts.find(state::Attribute::serial); fact != row.facts.end())
                if (const auto* text = std::get_if<std::string>(&fact->second.value)) {
                    if (serial && *serial != *text)
                        return std::nullopt;
                    serial = *text;
                }
    return serial;
}

state::Reading read(const profiles::Profile& profile, const std::string& asking,
                    const links::Answer& answer) {
    return replay::read_answer(profile, asking, answer.bytes,
                               {answer.ended, answer.exit_status, ""});
}

} // namespace

/// The address may lead to another chassis today.
boost::asio::awaitable<void> RouterSession::check_identity() {
    const auto& identity = settings_.profile->identity;
    if (!identity) {
        if (settings_.serial)
            log::tell(log::Level::warning, log::Event::identity, {settings_.name, {}},
                      "a serial is configured, but the profile names no identity query to check it "
                      "with");
        co_return;
    }
    auto approved = allowance_.take(*identity);
    if (!approved) {
        const bool is_for_now = approved.error().is_for_now;
        turn_away(is_for_now ? Session::lost : Session::refused, witness::NoAnswer::guarded,
                  is_for_now ? "budget" : "guarded", approved.error().text);
        co_return;
    }
    auto query = std::move(*approved);
    const auto answer = co_await ask(std::move(query));
    if (!answer)
        turn_away(Session::lost, no_answer(answer.error().kind),
                  std::string(to_word(answer.error().kind)), answer.error().text);
    else
        judge_identity(read(*settings_.profile, *identity, *answer));
}

void RouterSession::judge_identity(const state::Reading& reading) {
    const auto serial = reading.whole ? serial_in(reading) : std::nullopt;
    if (!serial) {
        turn_away(Session::refused, witness::NoAnswer::wrong_chassis, "wrong-chassis",
                  "the device did not report a readable chassis serial, so it is not known which "
                  "chassis answers; see the query \"" +
                      *settings_.profile->identity + "\" of the profile");
        return;
    }
    if (!expected_serial_.empty() && expected_serial_ != *serial) {
        turn_away(Session::refused, witness::NoAnswer::wrong_chassis, "wrong-chassis",
                  "the device reports the serial " + *serial + ", expected " + expected_serial_ +
                      ": another chassis answers at this address; check address and serial in "
                      "the configuration");
        return;
    }
    // Without a configured serial the first one seen in this run must stay.
    serial_ = expected_serial_ = *serial;
}

/// The words of another release may mean something else: until its version is known to be one that
/// the profile was tried with, what the device reports is shown and confirms nothing.
boost::asio::awaitable<void> RouterSession::check_software() {
    const auto& proven_for = settings_.profile->proven_for;
    if (!proven_for || !is_up())
        co_return;
    unproven_ = "its software version is not known yet";
    auto approved = allowance_.take(proven_for->query);
    if (!approved) {
        unproven_ = (approved.error().is_for_now ? *unproven_ + ": " : "") + approved.error().text;
        co_return;
    }
    auto query = std::move(*approved);
    const auto answer = co_await ask(std::move(query));
    if (answer)
        software_is_told_by(read(*settings_.profile, proven_for->query, *answer));
}

void RouterSession::software_is_told_by(const state::Reading& reading) {
    auto unproven = profiles::not_proven(*settings_.profile, reading, settings_.allow_unproven);
    if (unproven && unproven != unproven_)
        log::tell(log::Level::warning, log::Event::software, {settings_.name, {}},
                  "no gate can pass: " + *unproven);
    unproven_ = std::move(unproven);
}

} // namespace slotwitness::desk
