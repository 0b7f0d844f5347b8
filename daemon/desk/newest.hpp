#pragma once

#include "desk.hpp"

#include <slotwitness/profiles/profile.hpp>

#include <map>
#include <memory>
#include <string>
#include <vector>

namespace slotwitness::desk {

/// The newest answer to each query of one chassis, as bytes: what they say takes several times the
/// room, and of the chassis of a network few are looked at. So it is read from them when somebody
/// asks, as the journal's answers are.
class Newest {
  public:
    struct Answer {
        std::string capture;
        units::Instant asked, answered;
        witness::Ending ending;
        std::shared_ptr<const std::string> bytes;
        std::size_t unread_lines = 0;
    };

    /// The profile outlives it.
    explicit Newest(const profiles::Profile& profile) : profile_(profile) {}

    /// In the place of the one before.
    void take(const std::string& asking, Answer answer) { kept_[asking] = {std::move(answer)}; }

    /// When the last one came, and how many lines of all nobody read.
    void summarise(ChassisSummary& summary) const;
    void fill(ChassisView& view) const;
    /// In the order of their askings.
    [[nodiscard]] std::vector<AnswerView> answers() const;

  private:
    struct Kept {
        Answer answer;
        mutable std::shared_ptr<const state::Reading> reading{}; ///< once somebody has asked
    };
    [[nodiscard]] const std::shared_ptr<const state::Reading>& read(const std::string& asking,
                                                                    const Kept& kept) const;

    const profiles::Profile& profile_;
    std::map<std::string, Kept> kept_; ///< by asking
};

} // namespace slotwitness::desk
