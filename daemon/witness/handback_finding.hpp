#pragma once

#include "component.hpp"

#include <slotwitness/units/time.hpp>

#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// What became of each part of a chassis from before the work to after it.
namespace slotwitness::witness {

/// What is done to the part in the work slot: then another serial is right, or the same one.
enum class Work { replace, reseat, refit, look_only };
[[nodiscard]] std::string_view to_word(Work value);

/// What the work is meant to change.
struct WorkPlan {
    Work work = Work::look_only;
    std::optional<Component> slot; ///< what is worked on
    std::string spare;             ///< its serial as people gave it; empty: nobody did
    friend bool operator==(const WorkPlan&, const WorkPlan&) = default;
};

/// What somebody accepts of the state before the work: the failed module is why they came.
struct Exception {
    Component component;
    std::string reason;
    friend bool operator==(const Exception&, const Exception&) = default;
};

/// By what the handback of a procedure is judged.
struct HandbackPlan {
    WorkPlan work;
    std::vector<Exception> accepted; ///< by who opens the procedure
    units::Duration gap{0};          ///< G, of a whole look
    units::Duration refresh{0};      ///< R, of all that it asks
    friend bool operator==(const HandbackPlan&, const HandbackPlan&) = default;
};

/// A named person takes it upon them that this part is not as it was.
struct Waiver {
    Component component;
    std::string by;
    std::string reason;
    std::string says; ///< of an alarm: its words then, since a device may give a name away again
    friend bool operator==(const Waiver&, const Waiver&) = default;
};

/// The class of a part at the handback.
enum class Fate {
    as_it_was,
    meant_to_change,
    waived,              ///< it would be one of the two below, and somebody answers for it by name
    not_meant_to_change, ///< it surely differs
    not_known,           ///< whether it differs cannot be said
};
[[nodiscard]] std::string_view to_word(Fate value);

/// One thing that differs: an attribute's word, or `present`. "none" is what a whole answer does
/// not tell.
struct Change {
    std::string what;
    std::string was;
    std::string is;
    friend bool operator==(const Change&, const Change&) = default;
};

struct HandbackItem {
    Component component; ///< without a name: the list of its kind
    Fate fate = Fate::not_known;
    std::vector<Change> changes;
    std::string why;  ///< of not_known, and of a waiver of that: one sentence
    std::string says; ///< of an alarm: what it concerns, and its words
    std::string waived_by, reason;
    friend bool operator==(const HandbackItem&, const HandbackItem&) = default;
};

/// The chassis beside what it was before the work; told anew when a part is in another class.
struct HandbackFinding {
    std::string procedure;
    std::optional<units::Instant> baseline; ///< when it was kept; nothing: there is none yet
    bool seen = false;                      ///< the newest look is young enough to count
    bool at_end = false;                    ///< it was asked after the last step had ended
    std::vector<HandbackItem> items;
    std::vector<Change> counts; ///< the chassis in figures
    friend bool operator==(const HandbackFinding&, const HandbackFinding&) = default;
};

} // namespace slotwitness::witness
