#pragma once

#include "grounds.hpp"
#include "judgement.hpp"
#include "members.hpp"

#include <slotwitness/sentences/sentence.hpp>

#include <functional>
#include <set>

namespace slotwitness::witness {

/// What a reading of a condition looked at.
struct Seen {
    std::set<Component> components; ///< whose state it read
    std::set<Component> counted;    ///< whose error counters it read
};

/// One reading of a condition, under one trust.
struct Hearing {
    const Grounds& on;
    Trust trust;
    Seen& seen;

    /// Judges one component of this look, and notes that it was looked at.
    [[nodiscard]] Judgement member(const Component& component,
                                   const sentences::Predicate& predicate) const;
    /// The members of a group in this look.
    [[nodiscard]] Members range(const sentences::Group& group) const;
};

/// What is said of one component.
using Claim = std::function<Judgement(const Component&)>;
/// True if it is of every member; unknown over nothing. `said` tells it in words: "serial as in …".
[[nodiscard]] Judgement every(const Hearing& hearing, const sentences::Group& group,
                              const Claim& claim, const std::string& said);

[[nodiscard]] Judgement hear(const Hearing& hearing, const sentences::OneIs& node);
[[nodiscard]] Judgement hear(const Hearing& hearing, const sentences::EveryIs& node);
[[nodiscard]] Judgement hear(const Hearing& hearing, const sentences::CountIs& node);
[[nodiscard]] Judgement hear(const Hearing& hearing, const sentences::NoAlarm& node);
[[nodiscard]] Judgement hear(const Hearing& hearing, const sentences::CapacityCovers& node);
[[nodiscard]] Judgement hear(const Hearing& hearing, const sentences::NoNewAlarm& node);
[[nodiscard]] Judgement hear(const Hearing& hearing, const sentences::TextCompared& node);
[[nodiscard]] Judgement hear(const Hearing& hearing, const sentences::StillIs& node);
[[nodiscard]] Judgement hear(const Hearing& hearing, const sentences::ErrorsNotRising& node);

/// Unknown, since there is no baseline.
[[nodiscard]] Judgement without_baseline();

} // namespace slotwitness::witness
