#pragma once

#include "event.hpp"

#include <algorithm>
#include <optional>

namespace slotwitness::witness {

/// Looks i…n, all true, with no gap between neighbours. Its first look is the best i: b_i is least
/// there.
class Run {
  public:
    [[nodiscard]] bool open() const { return began_.has_value(); }
    void end() { *this = Run(); }

    /// A gap over G lies between the run's last look and one answered at `answered`. A look that
    /// was never answered has no gap behind it.
    [[nodiscard]] bool gap_before(Instant answered, Duration gap) const {
        return last_asked_ && answered - *last_asked_ > gap;
    }

    /// One more true look.
    void extend(Instant asked, Instant answered) {
        if (!began_)
            began_ = answered;
        last_asked_ = asked;
    }
    /// One more that is taken for true though it was never answered.
    void extend_unanswered(Instant started) {
        if (!began_)
            began_ = started;
        last_asked_.reset();
    }

    /// b_i; nothing at `now` if there is no run, or if any look from now on would come after a gap.
    [[nodiscard]] std::optional<Instant> began(Instant now, Duration gap) const {
        return gap_before(now, gap) ? std::nullopt : began_;
    }
    /// The last instant at which a look can still continue it.
    [[nodiscard]] std::optional<Instant> continues_until(Duration gap) const {
        return last_asked_ ? std::optional(*last_asked_ + gap) : std::nullopt;
    }

    /// a − R − b_i, not below 0.
    [[nodiscard]] Duration held(Instant asked, Duration refresh) const {
        return began_ ? std::max(Duration(0), asked - refresh - *began_) : Duration(0);
    }
    /// Whether the look asked at `asked`, the run's last, has held for H. Any look has held for 0.
    [[nodiscard]] bool met(Instant asked, Duration needs, Duration refresh) const {
        return began_ && (needs == Duration(0) || asked - refresh - *began_ >= needs);
    }

  private:
    std::optional<Instant> began_;      ///< b_i
    std::optional<Instant> last_asked_; ///< a of the last look
};

} // namespace slotwitness::witness
