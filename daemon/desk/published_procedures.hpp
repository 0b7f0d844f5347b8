#pragma once

#include "desk.hpp"
#include "sequencer.hpp"
#include "waiters.hpp"

#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::desk {

/// Every procedure as it may be shown: what is recorded, and bad news at once.
class PublishedProcedures {
  public:
    explicit PublishedProcedures(const Clock& clock) : clock_(clock) {}

    /// As the journal leaves it; confidence ends at `seen_until`.
    void restore(std::string_view chassis, const replay::RecordedProcedure& procedure,
                 units::Instant seen_until);
    void take(std::string_view chassis, const Recorded& recorded);

    /// As Desk::procedure.
    [[nodiscard]] SharedView<ProcedureView> procedure(std::string_view id) const;
    [[nodiscard]] std::vector<SharedView<ProcedureView>> newest_first() const;
    /// Null if there is none.
    [[nodiscard]] SharedView<ProcedureView> by_idempotency_key(std::string_view by,
                                                               std::string_view key) const;
    /// The one under way on this chassis; null if there is none.
    [[nodiscard]] SharedView<ProcedureView> open_on(std::string_view chassis) const;
    /// Names the open ones to these chassis, which are in the order of their names.
    void add_open(std::span<ChassisSummary> chassis) const;

    /// As Desk::procedure_change.
    [[nodiscard]] boost::asio::awaitable<void> change(boost::asio::any_io_executor executor,
                                                      std::string id,
                                                      std::optional<std::uint64_t> seen,
                                                      units::Instant until);
    /// Releases every waiter, now and from now on.
    void stop();

  private:
    struct Place {
        Snapshot<ProcedureView> view;
        std::uint64_t bad_news = 0; ///< how often it was shown unrecorded
        Waiters waiters;
    };
    void show(Place& place, const witness::Finding& finding, bool stored);

    const Clock& clock_;
    std::map<std::string, Place, std::less<>> procedures_;
    std::vector<std::string> order_; ///< ids in the order of opening
    bool stopping_ = false;
};

} // namespace slotwitness::desk
