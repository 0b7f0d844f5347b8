#pragma once

#include <slotwitness/keys/file.hpp>
#include <slotwitness/state/problem.hpp>
#include <slotwitness/witness/procedure_finding.hpp>

#include <tl/expected.hpp>

#include <map>
#include <optional>
#include <span>
#include <string>
#include <vector>

/// A rehearsal: a procedure played on a simulated chassis, on a good day or on a bad one. Its file
/// says what the people do at each step, what goes wrong, and what must be shown then.
namespace slotwitness::rehearsal {

/// What somebody does to the procedure, as the file writes it: `answer rule other-planes`,
/// `answer step pull-tray`, `answer cooling`, `answer chassis`, `at-chassis 0017`, `back-out`,
/// `try-again`, `force`, `skip`, `close closed_degraded T-12`.
struct Move {
    enum class Kind { answer, at_chassis, waive, back_out, try_again, force, skip, close };
    Kind kind = Kind::back_out;
    witness::StopAnswered::Of of = witness::StopAnswered::Of::rule; ///< of an answer
    std::string name; ///< the rule, the step, the component; what is read from the rack
    state::Kind component = state::Kind::module;                  ///< of a waive
    witness::Closing outcome = witness::Closing::closed_degraded; ///< of a close
    std::string ticket;
};

/// Something happens once a step is so far: then this must be shown, and this is done about it.
struct Turn {
    std::string step;
    witness::Stage stage = witness::Stage::fact;
    std::vector<std::string> orders; ///< for the chassis' control socket
    witness::Word word = witness::Word::stop;
    std::string says;  ///< part of the text shown
    std::string first; ///< of the advice; empty: any
    std::vector<std::string> then_orders;
    std::vector<Move> then;
    bool acts_on = true; ///< after it the step's own orders are still carried out
};

struct Rehearsal {
    std::string title;
    std::string procedure;
    std::map<std::string, std::string> arguments;
    std::vector<witness::Exception> accepted;               ///< when it is opened
    std::map<std::string, std::vector<std::string>> orders; ///< what a step's act is, by its name
    std::string at_chassis;  ///< what the technician reads of the serial before the first act;
                             ///< empty: what is right
    std::vector<Turn> turns; ///< in order
    witness::Closing outcome = witness::Closing::done;
};

/// The schema is in this folder's README.md. `files` begins with the rehearsal itself, followed by
/// the one that it is based on: the earlier file's keys, arguments and orders take the place of the
/// later one's. Every problem is returned, at least one.
[[nodiscard]] tl::expected<Rehearsal, std::vector<state::Problem>>
parse_rehearsal(std::span<const keys::File> files);
/// The file that the text is based on, as it is named there; nothing if it is based on none.
[[nodiscard]] std::optional<std::string> based_on(const keys::File& file);

/// Nothing if the text is no move.
/// "module FAB3"; nothing if it is no kind and a name.
[[nodiscard]] std::optional<witness::Component> component_in(const std::string& text);
[[nodiscard]] std::optional<Move> parse_move(const std::string& text);

} // namespace slotwitness::rehearsal
