#include "guard.hpp"

namespace slotwitness::links {

tl::expected<ApprovedQuery, state::Problem> Guard::approve(const profiles::Asking& asking) const {
    auto bytes = profiles::request_bytes(profile_, asking);
    if (!bytes) {
        return tl::unexpected(std::move(bytes.error()));
    }
    return ApprovedQuery(asking.key(), std::move(*bytes));
}

} // namespace slotwitness::links
