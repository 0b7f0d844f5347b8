#pragma once

#include "desk.hpp"
#include "sequencer.hpp"
#include "waiters.hpp"

#include <slotwitness/replay/recover.hpp>

#include <map>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::desk {

/// Of these, which are in the order of their names, the one with that name; null: it is not there.
[[nodiscard]] ChassisSummary* find(std::span<ChassisSummary> chassis, std::string_view name);

/// Every gate as it may be shown: what is recorded, and bad news at once.
class Published {
  public:
    explicit Published(const Clock& clock) : clock_(clock) {}

    /// A gate as the journal leaves it; its confidence ends at `seen_until`.
    void restore(std::string_view chassis, const replay::RecordedGate& gate,
                 units::Instant seen_until);
    /// What a sequencer has to say, stored or not.
    void take(std::string_view chassis, const Recorded& recorded);

    /// As Desk::gate.
    [[nodiscard]] SharedView<GateView> gate(std::string_view id) const;
    [[nodiscard]] std::vector<SharedView<GateView>> newest_first() const;
    /// What somebody opened with this key, and how.
    struct Keyed {
        GateView view;
        units::Duration gap, guard;
    };
    [[nodiscard]] std::optional<Keyed> by_idempotency_key(std::string_view by,
                                                          std::string_view key) const;
    [[nodiscard]] std::size_t count_open(std::string_view chassis) const;
    /// Counts the pending ones into these chassis, which are in the order of their names.
    void add_pending(std::span<ChassisSummary> chassis) const;

    /// As Desk::gate_change.
    [[nodiscard]] boost::asio::awaitable<void> change(boost::asio::any_io_executor executor,
                                                      std::string id,
                                                      std::optional<std::uint64_t> seen,
                                                      units::Instant until);
    /// Releases every waiter, now and from now on.
    void stop();

  private:
    struct Place {
        Snapshot<GateView> view; ///< `revision` counts the changes
        std::uint64_t changes = 0;
        std::string idempotency_key;
        units::Duration gap{0}, guard{0};
        Waiters waiters;
    };
    void open(std::string_view chassis, const witness::GateOpened& opened);
    void show(std::string_view chassis, const witness::GateFinding& finding);
    void show_bad_news(const witness::GateFinding& finding);

    const Clock& clock_;
    std::map<std::string, Place, std::less<>> gates_;
    std::vector<std::string> order_; ///< ids in the order of opening
    bool stopping_ = false;
};

} // namespace slotwitness::desk
