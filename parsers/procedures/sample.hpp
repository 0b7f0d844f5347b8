#pragma once

#include "places.hpp"
#include "procedure.hpp"

#include <map>
#include <optional>
#include <string>
#include <string_view>

namespace slotwitness::procedures {

/// A value for each parameter, so that sentences can be read before anybody gives one. Each
/// component has a name of its own; where several may be meant, there are two.
class Samples {
  public:
    explicit Samples(const std::map<std::string, Parameter>& parameters);

    [[nodiscard]] bool may_stand_in_sentences(std::string_view parameter) const;
    [[nodiscard]] FilledText fill(std::string_view text) const;
    /// The one component that the parameter stands for here.
    [[nodiscard]] std::optional<sentences::Named> component(std::string_view parameter) const;

  private:
    const std::map<std::string, Parameter>& parameters_;
    std::map<std::string, std::string, std::less<>> values_;
};

/// The condition asks, by itself or with others that must hold too, that `subject` is so.
[[nodiscard]] bool says(const sentences::Condition& condition, const sentences::Named& subject,
                        sentences::Trade predicate);
/// It asks that some fabric plane is up or operational.
[[nodiscard]] bool waits_for_a_plane(const sentences::Condition& condition);

} // namespace slotwitness::procedures
