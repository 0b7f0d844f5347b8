#include "plan.hpp"
#include "post.hpp"

#include <slotwitness/procedures/arguments.hpp>
#include <slotwitness/witness/right_chassis.hpp>

#include <utility>

// What people do with procedures.
namespace slotwitness::desk {

namespace {

/// Several problems in the lines of one.
state::Problem joined(const std::vector<state::Problem>& problems) {
    if (problems.size() == 1)
        return problems.front();
    std::string all;
    for (const state::Problem& problem : problems)
        all += (all.empty() ? "" : "; ") + state::to_text(problem);
    return {"procedure", {}, std::to_string(problems.size()) + " faults", "", std::move(all)};
}

} // namespace

const std::string& procedure_of(const ProcedureAct& act) {
    return std::visit(
        [](const auto& what) -> const std::string& {
            if constexpr (requires { what.act; })
                return what.act.procedure;
            else
                return what.procedure;
        },
        act);
}

/// Those of one risk group fail together: two of them are not worked on at once.
std::optional<Refusal> LiveDesk::busy_group(const Post& post) const {
    const std::string& group = post.settings.risk_group;
    for (const auto& [name, other] : posts_) {
        if (group.empty() || name == post.settings.name || other->settings.risk_group != group)
            continue;
        const auto open = published_procedures_->open_on(name);
        if (open || opening_on_.contains(name))
            return refusal(
                Refusal::Kind::bad_procedure,
                "procedure " + (open ? open->record.opened.id + " " : "") + "under way on " + name,
                "one procedure at a time in risk group " + group, "close that one first");
    }
    return std::nullopt;
}

/// What is read from the rack must tell this chassis from all others here.
std::optional<Refusal> LiveDesk::not_alone(const Post& post,
                                           const witness::ChassisNamed& named) const {
    const auto ends_so = [&](const Post& each) {
        const auto reported = each.watcher->view().serial;
        const auto& serial = reported ? reported : each.settings.serial;
        return serial && witness::is_end_of(*serial, named.serial_end);
    };
    if (!ends_so(post))
        return std::nullopt; // the witness says that it is another one
    for (const auto& [name, other] : posts_)
        if (name != post.settings.name && ends_so(*other))
            return refusal(
                Refusal::Kind::not_done,
                named.serial_end + ", in which the serial of chassis " + name + " ends as well",
                "the end of one serial alone", "let the technician read more of it from the rack");
    return std::nullopt;
}

tl::expected<witness::ProcedureOpened, Refusal>
LiveDesk::plan_procedure(const Post& post, const ProcedureWish& wish) const {
    const auto written = book_.find(wish.procedure);
    if (written == book_.end()) {
        std::string names;
        for (const auto& [name, one] : book_)
            names += (names.empty() ? "" : ", ") + name;
        return tl::unexpected(refusal(Refusal::Kind::bad_procedure, wish.procedure,
                                      names.empty()
                                          ? "a procedure of the configuration, which names none"
                                          : "one of " + names,
                                      "name its file in the configuration, procedures = [\"…\"]"));
    }
    const auto filled = procedures::fill_procedure(written->second.procedure, wish.arguments);
    if (!filled)
        return tl::unexpected(Refusal{Refusal::Kind::bad_procedure, joined(filled.error())});
    auto opening = desk::plan_procedure(post.settings, *filled);
    if (!opening)
        return tl::unexpected(Refusal{Refusal::Kind::bad_procedure, std::move(opening.error())});
    opening->id = make_id();
    opening->text = journal::digest_of(written->second.text);
    opening->arguments = wish.arguments;
    opening->handback.accepted = wish.accepted;
    opening->by = wish.by;
    opening->ticket = wish.ticket;
    opening->window = wish.window;
    opening->approver = wish.approver;
    opening->idempotency_key = wish.idempotency_key;
    if (auto problem = post.sequencer->witness().refusal(*opening))
        return tl::unexpected(Refusal{Refusal::Kind::bad_procedure, std::move(*problem)});
    if (auto busy = busy_group(post))
        return tl::unexpected(std::move(*busy));
    return std::move(*opening);
}

boost::asio::awaitable<tl::expected<ProcedureView, Refusal>>
LiveDesk::open_procedure(ProcedureWish wish) {
    const auto found = post_of(wish.chassis);
    if (!found)
        co_return tl::unexpected(found.error());
    Post& post = **found;
    if (!wish.idempotency_key.empty())
        if (auto before =
                published_procedures_->by_idempotency_key(wish.by, wish.idempotency_key)) {
            const auto& opened = before->record.opened;
            const auto written = book_.find(wish.procedure);
            if (before->chassis == wish.chassis && opened.arguments == wish.arguments &&
                opened.handback.accepted == wish.accepted && written != book_.end() &&
                opened.text == journal::digest_of(written->second.text))
                co_return *before;
            co_return tl::unexpected(
                refusal(Refusal::Kind::key_reused, wish.idempotency_key, "",
                        "this key came with procedure " + before->record.opened.id + " before"));
        }
    auto opening = plan_procedure(post, wish);
    if (!opening)
        co_return tl::unexpected(std::move(opening.error()));
    if (!opening_on_.insert(wish.chassis).second)
        co_return tl::unexpected(
            refusal(Refusal::Kind::in_flight, wish.chassis, "",
                    "a procedure is being opened on this chassis; ask again for what came of it"));
    const std::string id = opening->id;
    const std::string& text = book_.find(wish.procedure)->second.text;
    std::vector<journal::Capture> captures{{opening->text, text}};
    Sequencer::What what = std::move(*opening);
    const Recorded recorded = co_await post.sequencer->record(std::move(what), std::move(captures));
    opening_on_.erase(wish.chassis);
    if (!recorded.stored)
        co_return tl::unexpected(not_recorded(recorded));
    for (const witness::Finding& finding : recorded.outcome.findings)
        if (const auto* refused = std::get_if<witness::ProcedureRefused>(&finding))
            co_return tl::unexpected(Refusal{Refusal::Kind::bad_procedure, refused->problem});
    post.watcher->look_again();
    co_return *published_procedures_->procedure(id);
}

boost::asio::awaitable<tl::expected<ProcedureView, Refusal>> LiveDesk::act(ProcedureAct act) {
    const std::string id = procedure_of(act);
    const auto view = published_procedures_->procedure(id);
    if (!view)
        co_return tl::unexpected(refusal(Refusal::Kind::no_such_procedure, id, "",
                                         "list the procedures to see their ids"));
    const auto found = post_of(view->chassis);
    if (!found)
        co_return tl::unexpected(found.error());
    Post& post = **found;
    if (const auto* named = std::get_if<witness::ChassisNamed>(&act))
        if (auto refused = not_alone(post, *named))
            co_return tl::unexpected(std::move(*refused));
    Sequencer::What what =
        std::visit([](auto& one) { return Sequencer::What(std::move(one)); }, act);
    const Recorded recorded = co_await post.sequencer->record(std::move(what));
    if (!recorded.stored)
        co_return tl::unexpected(not_recorded(recorded));
    for (const witness::Finding& finding : recorded.outcome.findings)
        if (const auto* refused = std::get_if<witness::ProcedureRefused>(&finding))
            co_return tl::unexpected(Refusal{Refusal::Kind::not_done, refused->problem});
    post.watcher->look_again();
    co_return *published_procedures_->procedure(id);
}

boost::asio::awaitable<void> LiveDesk::procedure_change(std::string id,
                                                        std::optional<std::uint64_t> seen,
                                                        units::Instant until) {
    co_await published_procedures_->change(executor_, std::move(id), seen, until);
}

} // namespace slotwitness::desk
