#pragma once

#include "compatibility.hpp"

#include <slotwitness/keys/file.hpp>
#include <slotwitness/sentences/sentence.hpp>
#include <slotwitness/state/problem.hpp>
#include <slotwitness/units/quantity.hpp>
#include <slotwitness/units/time.hpp>

#include <tl/expected.hpp>

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

/// A procedure: ordered steps over one chassis, as the people who own the work write them in TOML.
/// The schema is in this folder's README.md. Texts hold places `<name>` for the procedure's
/// parameters, which are given when the work is opened: `every plane served by module <module>
/// shut`.
namespace slotwitness::procedures {

/// A component of the chassis, or several: checked against the live chassis before anything starts.
struct ComponentOf {
    state::Kind kind = state::Kind::module;
    bool several = false;
    friend bool operator==(const ComponentOf&, const ComponentOf&) = default;
};
/// A torque, a temperature: a value that has no default and names the document it comes from.
struct Figure {
    units::Unit unit = units::Unit::none;
    friend bool operator==(const Figure&, const Figure&) = default;
};
/// A time limit; it too names its document.
struct TimeLimit {
    friend bool operator==(const TimeLimit&, const TimeLimit&) = default;
};
/// Free words: a ticket, a part number. They never stand in a sentence that is judged.
struct Words {
    friend bool operator==(const Words&, const Words&) = default;
};

struct Parameter {
    std::variant<ComponentOf, Figure, TimeLimit, Words> is;
    std::string say; ///< what to ask the person for
    friend bool operator==(const Parameter&, const Parameter&) = default;
};

enum class Actor { engineer, technician };

/// "If it goes wrong here": what STOP shows in this step, not a general word.
struct IfWrong {
    enum class First { freeze, finish_seating, put_back, call };
    First first = First::call;
    std::string say;
    friend bool operator==(const IfWrong&, const IfWrong&) = default;
};

/// One act of a person. It waits for its fact, then for the engineer's release; once it is
/// confirmed, its effect is waited for, if it has one.
struct Step {
    std::string name;
    Actor actor = Actor::technician;
    std::string act;   ///< what the person does
    std::string fact;  ///< a sentence: what must be met before
    std::string until; ///< once released the fact is guarded until that step begins; empty: it is
                       ///< not, for the act may end it
    std::optional<std::string> effect;  ///< a sentence: what the device must report after the act
    std::optional<std::string> confirm; ///< what only eyes see, asked of the technician
    std::vector<std::string> cautions;
    std::optional<units::Duration> takes; ///< from its opening to its end, as rehearsed; > 0
    IfWrong if_wrong;
    friend bool operator==(const Step&, const Step&) = default;
};

/// A step of the way back: it is taken if the step that it undoes had been released.
struct BackOutStep {
    Step step;
    std::string undoes;
    friend bool operator==(const BackOutStep&, const BackOutStep&) = default;
};

/// What must hold throughout, from one step's opening to another's.
struct Rule {
    std::string name;
    std::string say;
    std::string holds;               ///< a sentence without hold and deadline
    std::string from;                ///< a step; the first without
    std::string until;               ///< a step: the rule ends as it opens; to the end without
    std::optional<IfWrong> if_wrong; ///< else the step's own
    friend bool operator==(const Rule&, const Rule&) = default;
};

/// What must be so before the work begins: the ready check alone looks at it.
struct ReadyCheck {
    std::string name;
    std::string say;
    std::string holds;  ///< a sentence without hold and deadline
    std::string remedy; ///< what to do if it is not so
    friend bool operator==(const ReadyCheck&, const ReadyCheck&) = default;
};

/// Cooling is reduced from one step's act to another's.
struct Cooling {
    std::string tray;   ///< the parameter that names the fan tray
    std::string begins; ///< the step that takes it out
    std::string out;    ///< the step that takes the old part out: until then people can be told to
                        ///< turn back; nobody is, if it is empty
    std::string ends;   ///< the step that puts it back
    std::string limit;  ///< the parameter that gives the longest time
    std::string sensors{}; ///< the parameter that names what warms meanwhile; empty: no forecast
    std::string hottest{}; ///< the parameter that gives what they must not reach; empty: that is
                           ///< what the device itself states of each
    std::string takes{};   ///< the parameter that gives how long it takes, as rehearsed, from the
                           ///< old part's leaving to the tray's return; empty: as the steps say
    friend bool operator==(const Cooling&, const Cooling&) = default;
};

/// What becomes of the part in the work slot: another serial (replace), the same (reseat, refit),
/// or nobody touches it (look_only).
enum class Work { replace, reseat, refit, look_only };

struct Procedure {
    std::string title;
    std::string family; ///< of the profile that it is for
    Work work = Work::look_only;
    std::optional<std::string> work_slot; ///< the parameter that names the component worked on
    std::optional<std::string> spare;     ///< the parameter that gives the serial of what goes in
    std::vector<std::string> tools;
    /// For so long a confirmation can be taken back; 0 s to 30 s. The next step waits so long.
    units::Duration undo{std::chrono::seconds{5}};
    std::map<std::string, Parameter> parameters;
    std::vector<Rule> rules;
    std::vector<Step> steps;           ///< at least one
    std::vector<BackOutStep> back_out; ///< in the order in which they are taken
    std::optional<Cooling> cooling;
    std::vector<ReadyCheck> ready;
    std::optional<Compatibility> compatibility;
    friend bool operator==(const Procedure&, const Procedure&) = default;
};

/// Every problem is returned, at least one: unknown keys and places, sentences that do not parse
/// with any value of their parameters, steps that no step is called, a plane that is waited for
/// before the module that serves it.
[[nodiscard]] tl::expected<Procedure, std::vector<state::Problem>>
parse_procedure(const keys::File& file);

[[nodiscard]] std::string_view to_word(Actor value);
[[nodiscard]] std::string_view to_word(IfWrong::First value);
[[nodiscard]] std::string_view to_word(Work value);

} // namespace slotwitness::procedures
