#include "guard.hpp"

namespace slotwitness::links {

tl::expected<ApprovedQuery, state::Problem> Guard::approve(const profiles::Asking& asking) const {
    auto bytes = profiles::request_bytes(profile_, asking);
    if (!bytes) {
        return tl::unexpected(std::move(bytes.error()));
    }
    return ApprovedQuery(asking.key(), std::move(*bytes));
}

std::shared_ptr<const ApprovedShell> Guard::approve_shell() const {
    const profiles::Reach& reach = profile_.reach;
    if (reach.by != profiles::Reach::By::shell) {
        return nullptr;
    }
    std::vector<ApprovedQuery> queries;
    for (const std::string& query : reach.shell.session_queries) {
        queries.push_back(ApprovedQuery(query, query));
    }
    const ApprovedShell shell(reach.shell, profile_.terminal.pagers, std::move(queries));
    return std::make_shared<const ApprovedShell>(shell);
}

} // namespace slotwitness::links
