#pragma once

#include <slotwitness/procedures/arguments.hpp>
#include <slotwitness/profiles/profile.hpp>

#include <set>
#include <string>
#include <vector>

namespace slotwitness::ready {

/// A sentence of the procedure.
struct Said {
    /// `now`: nothing that the work does comes before it. `later`: acts come before it, and may
    /// bring it about. `back`: of the way back.
    enum class When { now, later, back };
    std::string of; ///< "rule other-planes", "step pull-tray, effect"
    sentences::Sentence sentence;
    When when = When::now;
    std::string remedy; ///< as the procedure states it; empty: it states none
    tl::expected<std::set<profiles::Asking>, state::Problem> needs; ///< or what the profile lacks

    [[nodiscard]] bool asks(std::string_view asking) const;
};

/// Those that are written, and that each component given is there: "parameter module".
[[nodiscard]] std::vector<Said> all_said(const profiles::Profile& profile,
                                         const procedures::FilledProcedure& filled);

/// `A and B and C` one by one: each may hold the work up by itself.
[[nodiscard]] std::vector<sentences::Condition> parts_of(const sentences::Condition& condition);

/// The condition compares capacity with load, anywhere in it.
[[nodiscard]] bool compares_capacity(const sentences::Condition& condition);
/// It compares with the baseline.
[[nodiscard]] bool compares_with_baseline(const sentences::Condition& condition);

} // namespace slotwitness::ready
