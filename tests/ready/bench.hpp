#pragma once

#include "../chassis/device.hpp"

#include <slotwitness/ready/check.hpp>

#include <functional>
#include <map>
#include <memory>
#include <string>
#include <vector>

namespace slotwitness::ready::test {

/// A piece of work on the simulated chassis, all of it as needed: each test spoils something.
class Bench {
  public:
    explicit Bench(const std::string& procedure = "replace-fabric-module");

    /// One stretch of the profile's or the procedure's text written otherwise; it must be there.
    void rewrite_profile(const std::string& old, const std::string& other);
    void rewrite_procedure(const std::string& old, const std::string& other);
    void add_to_profile(const std::string& text) { profile_text_ += text; }
    void add_to_procedure(const std::string& text) { procedure_text_ += text; }
    /// Orders to the chassis, and then the time that they need.
    void order(const std::string& line);
    /// Instead of the chassis' own answer, whole.
    void answer(const std::string& request, const std::string& text) { answers_[request] = text; }
    /// What becomes of the look before it is judged.
    std::function<void(Look&)> spoil = [](Look&) {};

    std::map<std::string, std::string> arguments;
    std::optional<std::string> serial = "QL40000017";
    std::vector<std::string> allow_unproven{};
    std::map<state::Kind, std::vector<std::string>> inventory{};
    std::optional<units::Decimal> peak_load;
    watch::Pace pace{};
    bool in_band = false;
    watch::Budget budget{};
    units::Duration took{10}; ///< each query
    Site site{std::nullopt, true, Site::Listed::same};

    [[nodiscard]] Report check();

  private:
    [[nodiscard]] Tried ask(const profiles::Profile& profile, const profiles::Asking& asking);

    std::string profile_text_;
    std::string procedure_text_;
    chassis::Device device_;
    chassis::Time now_{60'000};
    std::map<std::string, std::string> answers_;
};

/// "about: says. Do: remedy" of each finding of this weight.
[[nodiscard]] std::vector<std::string> told(const Report& report, Weight weight);
/// The one finding about this; the test fails if there is none or several.
[[nodiscard]] Finding about(const Report& report, const std::string& what);

} // namespace slotwitness::ready::test
