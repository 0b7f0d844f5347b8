#include "live_desk.hpp"

#include "outgrown.hpp"
#include "plan.hpp"
#include "post.hpp"

#include <slotwitness/links/bastion.hpp>
#include <slotwitness/log/log.hpp>
#include <slotwitness/replay/recover.hpp>

#include <boost/asio/co_spawn.hpp>

#include <algorithm>
#include <utility>

namespace slotwitness::desk {

namespace {

using units::Instant;

/// How the runs of one chassis begin in the journal. Only the first one follows upon a time without
/// a daemon; a later one goes on after events that could not be recorded.
BeginRun begin_runs(const ChassisSettings& settings, witness::RunStarted run,
                    MachineReader read_machine, std::shared_ptr<const std::atomic<bool>> begun) {
    run.profile = journal::digest_of(settings.profile->text);
    run.inventory = settings.inventory;
    run.peak_load = settings.peak_load;
    return [run, read_machine = std::move(read_machine), begun = std::move(begun),
            profile = settings.profile](units::Instant) mutable {
        if (*begun) {
            const MachineTime machine = read_machine();
            run.boottime_ms = machine.boottime_ms;
            run.wall_ms = machine.wall_ms;
            run.wall_synchronised = machine.wall_synchronised;
            run.elapsed_known = true;
        }
        return journal::Beginning{run, {{run.profile, profile->text}}};
    };
}

/// What counts towards the budget of this run. What connecting asks is not in the journal, so each
/// run is taken to have connected once.
std::vector<Instant> asked_in_last_hour(const ChassisSettings& settings,
                                        const replay::Recovered& past) {
    std::vector<Instant> asked(past.asked_lately.begin(), past.asked_lately.end());
    for (const Instant began : past.began_lately)
        asked.insert(asked.end(), queries_at_entrance(*settings.profile), began);
    std::sort(asked.begin(), asked.end());
    return asked;
}

/// How long the first event of a run waits before it is tried again, when the journal cannot take
/// it.
constexpr units::Duration begin_again{2'000};
/// A commit takes some milliseconds; a disk that needs longer than this does not answer.
constexpr units::Duration longest_commit{10'000};

} // namespace

Refusal refusal(Refusal::Kind kind, std::string found, std::string expected, std::string remedy) {
    return {kind, {"", {}, std::move(found), std::move(expected), std::move(remedy)}};
}

Refusal not_recorded(const Recorded& recorded) {
    return refusal(Refusal::Kind::not_recorded, "", "",
                   "the journal cannot take it now: " + recorded.trouble);
}

LiveDesk::LiveDesk(boost::asio::any_io_executor executor, std::vector<ChassisSettings> chassis,
                   Reconnect reconnect, ProcedureBook book)
    : executor_(executor), settings_(std::move(chassis)), reconnect_(reconnect),
      book_(std::move(book)) {}

LiveDesk::~LiveDesk() = default;

std::string LiveDesk::make_id() const {
    static constexpr std::string_view alphabet = "abcdefghjkmnpqrstuvwxyz23456789";
    std::string id;
    for (int i = 0; i < 8; ++i)
        id += alphabet[machine_.random() % alphabet.size()];
    return id;
}

tl::expected<void, std::string> LiveDesk::begin(std::unique_ptr<journal::Store> store,
                                                LinkMaker make_link, MachineReader read_machine,
                                                ClockMaker make_clock, Machine machine) {
    machine_ = std::move(machine);
    std::vector<std::unique_ptr<Post>> posts;
    std::vector<replay::Recovered> recovered;
    std::optional<witness::RunStarted> last_run;
    Instant last_instant{};
    for (const ChassisSettings& settings : settings_) {
        posts.push_back(std::make_unique<Post>(settings));
        auto one = replay::recover(
            *store, settings.name,
            [&](const witness::Event& event, const std::vector<witness::Finding>& findings) {
                posts.back()->timeline.take(event, findings);
            });
        if (!one)
            return tl::unexpected(std::move(one.error().text));
        if (one->last_run && (!last_run || one->last_instant >= last_instant))
            last_run = one->last_run;
        last_instant = std::max(last_instant, one->last_instant);
        recovered.push_back(std::move(*one));
    }
    // One time line for the whole journal, so that instants of two chassis can be compared.
    const witness::RunStarted run = begin_run(last_run, last_instant, read_machine());
    clock_ = make_clock(run.offset_ms);
    entrance_ = std::make_shared<Entrance>(executor_, *clock_, reconnect_.doors);
    recorder_ = std::make_unique<Recorder>(std::move(store), machine_.journal_place);
    journal_ = std::make_unique<JournalReader>(machine_.open_to_read, machine_.journal_place);
    published_ = std::make_unique<Published>(*clock_);
    published_procedures_ = std::make_unique<PublishedProcedures>(*clock_);

    for (std::size_t i = 0; i < settings_.size(); ++i) {
        const ChassisSettings& settings = settings_[i];
        replay::Recovered& past = recovered[i];
        Post& place = *posts_.emplace(settings.name, std::move(posts[i])).first->second;
        place.pause = clock_->make_alarm(executor_);
        if (past.difference) {
            place.difference =
                "entry " + std::to_string(past.difference->sequence) + ": " + past.difference->text;
            log::tell(log::Level::error, log::Event::journal, {settings.name, {}},
                      "the journal cannot be recomputed: " + place.difference);
        }
        for (const replay::RecordedGate& gate : past.gates)
            published_->restore(settings.name, gate, last_instant - units::Duration(1));
        for (const replay::RecordedProcedure& procedure : past.procedures)
            published_procedures_->restore(settings.name, procedure,
                                           last_instant - units::Duration(1));
        // What was begun on one chassis is not gone on with on another.
        const bool goes_on = !past.witness.wanted_askings().empty();
        Watcher::Past known{past.last_round, asked_in_last_hour(settings, past),
                            goes_on ? past.serial : "", outgrown(settings, past)};
        if (!known.outgrown.empty())
            log::tell(log::Level::warning, log::Event::software, {settings.name, {}},
                      "no gate can pass: " + known.outgrown);
        place.warming = std::move(past.warming);
        place.sequencer = std::make_unique<Sequencer>(
            executor_, *clock_, *recorder_, settings.name, std::move(past.witness),
            begin_runs(settings, run, read_machine, place.begun), last_instant,
            [this, &place](const Recorded& recorded) { published(place, recorded); });
        place.watcher = std::make_unique<Watcher>(executor_, *clock_, settings, reconnect_,
                                                  entrance_, make_link(executor_, settings),
                                                  *place.sequencer, known, machine_.random());
    }
    for (auto& [name, post] : posts_)
        boost::asio::co_spawn(
            executor_, begin_watch(*post), [name = name](const std::exception_ptr& e) {
                if (e)
                    log::tell(log::Level::critical, log::Event::defect, {name, {}},
                              "the watch ended by an exception: this is a defect");
            });
    return {};
}

boost::asio::awaitable<void> LiveDesk::begin_watch(Post& post) {
    while (!stopping_ && !*post.begun) {
        Sequencer::What what = witness::Tick{}; // any event brings the run.started before it
        const Recorded recorded = co_await post.sequencer->record(std::move(what));
        if (!recorded.stored)
            co_await post.pause->wait_until(clock_->now() + begin_again);
    }
    if (stopping_)
        co_return;
    auto report = [name = post.settings.name](const std::exception_ptr& e) {
        if (e)
            log::tell(log::Level::critical, log::Event::defect, {name, {}},
                      "ticks ended by an exception: this is a defect");
    };
    boost::asio::co_spawn(executor_, post.sequencer->bring_ticks(), std::move(report));
    co_await post.watcher->run();
}

void LiveDesk::stop() {
    stopping_ = true;
    for (auto& [name, post] : posts_) {
        post->pause->ring();
        post->watcher->stop();
        post->sequencer->stop();
    }
    if (published_)
        published_->stop();
    if (published_procedures_)
        published_procedures_->stop();
}

void LiveDesk::published(Post& post, const Recorded& recorded) {
    if (recorded.stored && std::holds_alternative<witness::RunStarted>(recorded.event.what))
        *post.begun = true;
    if (!recorded.stored && post.trouble.empty())
        log::tell(log::Level::error, log::Event::journal, {post.settings.name, {}},
                  "the journal cannot take events, so there are no new verdicts: " +
                      recorded.trouble);
    if (recorded.stored && !post.trouble.empty())
        log::tell(log::Level::info, log::Event::journal, {post.settings.name, {}},
                  "the journal takes events again");
    post.trouble = recorded.stored ? "" : recorded.trouble;
    published_->take(post.settings.name, recorded);
    published_procedures_->take(post.settings.name, recorded);
    if (recorded.stored)
        post.timeline.take(recorded.event, recorded.outcome.findings);
    else
        post.timeline.lose("The journal cannot take what the device says: " + recorded.trouble);
    if (recorded.stored)
        for (auto& made : post.warming.take(recorded.event, recorded.outcome.findings))
            post.sequencer->submit(std::move(made));
    if (listener_)
        listener_(post.settings.name, recorded);
}

void LiveDesk::when_recorded(std::function<void()> done) {
    auto nothing = [](journal::Store&) { return true; };
    recorder_->run(executor_, nothing, [done = std::move(done)](bool) { done(); });
}

void LiveDesk::on_published(std::function<void(const std::string&, const Recorded&)> listener) {
    listener_ = std::move(listener);
}

std::vector<ChassisSummary> LiveDesk::all_chassis() const {
    std::vector<ChassisSummary> all;
    for (const auto& [name, post] : posts_)
        all.push_back(post->watcher->summary());
    add_work(all);
    return all;
}

void LiveDesk::add_work(std::span<ChassisSummary> chassis) const {
    published_->add_pending(chassis);
    published_procedures_->add_open(chassis);
    for (ChassisSummary& each : chassis) {
        const Post& post = *posts_.find(each.name)->second;
        if (each.last_answer)
            each.valid_until =
                *each.last_answer + (post.sequencer->witness().wanted_askings().empty()
                                         ? longest_gap(post.settings)
                                         : pending_gap(post.settings));
    }
}

std::optional<ChassisView> LiveDesk::chassis(std::string_view name) const {
    const auto post = posts_.find(name);
    if (post == posts_.end())
        return std::nullopt;
    ChassisView view = post->second->watcher->view();
    add_work({static_cast<ChassisSummary*>(&view), 1});
    view.baseline = post->second->sequencer->witness().baseline();
    view.baseline_wanted = post->second->sequencer->witness().baseline_wanted();
    return view;
}

std::optional<std::vector<AnswerView>> LiveDesk::answers(std::string_view chassis) const {
    const auto post = posts_.find(chassis);
    return post == posts_.end() ? std::nullopt : std::optional(post->second->watcher->answers());
}

std::optional<TimelineView> LiveDesk::timeline(std::string_view chassis) const {
    const auto post = posts_.find(chassis);
    if (post == posts_.end())
        return std::nullopt;
    return TimelineView{post->second->timeline.shown(), post->second->warming.outlooks()};
}

Health LiveDesk::health() const {
    Health health{!stopping_, {}};
    if (stopping_)
        health.reasons.emplace_back("the daemon is stopping");
    for (const auto& [name, post] : posts_) {
        if (!post->trouble.empty())
            health.reasons.push_back("the journal cannot take events of " + name + ": " +
                                     post->trouble);
        else if (!*post->begun)
            health.reasons.push_back("the watch of " + name + " has not begun");
        const auto since = post->sequencer->busy_since();
        if (since && clock_->now() > *since + longest_commit)
            health.reasons.push_back("the journal's disk does not answer: an event of " + name +
                                     " waits for it since " + units::to_rfc3339(*since));
        if (!post->difference.empty())
            health.reasons.push_back("the journal of " + name +
                                     " cannot be recomputed: " + post->difference);
    }
    health.ready = health.reasons.empty();
    return health;
}

tl::expected<witness::GateOpened, Refusal> LiveDesk::plan_gate(const Post& post,
                                                               const GateWish& wish) const {
    const auto sentence = sentences::parse(wish.sentence);
    if (!sentence)
        return tl::unexpected(Refusal{Refusal::Kind::bad_sentence, sentence.error()});
    auto plan = plan_sentence(post.settings, *sentence, wish.gap);
    if (!plan)
        return tl::unexpected(Refusal{Refusal::Kind::cannot_evaluate, std::move(plan.error())});

    witness::GateOpened gate;
    gate.id = make_id();
    gate.sentence = std::move(plan->sentence);
    gate.askings = std::move(plan->askings);
    gate.gap = plan->gap;
    gate.refresh = plan->refresh;
    gate.guard = wish.guard.value_or(units::Duration(0));
    gate.by = wish.by;
    gate.idempotency_key = wish.idempotency_key;
    if (auto problem = post.sequencer->witness().refusal(gate))
        return tl::unexpected(Refusal{Refusal::Kind::unknown_name, std::move(*problem)});
    return gate;
}

std::optional<Refusal> LiveDesk::would_refuse(const GateWish& wish) const {
    const auto post = posts_.find(wish.chassis);
    if (post == posts_.end())
        return refusal(Refusal::Kind::no_such_chassis, wish.chassis, "", "");
    auto planned = plan_gate(*post->second, wish);
    return planned ? std::nullopt : std::optional(std::move(planned.error()));
}

tl::expected<LiveDesk::Post*, Refusal> LiveDesk::post_of(std::string_view chassis) const {
    if (stopping_)
        return tl::unexpected(
            refusal(Refusal::Kind::stopping, "", "", "the daemon is stopping; ask again later"));
    const auto found = posts_.find(chassis);
    if (found == posts_.end())
        return tl::unexpected(no_such_chassis(chassis));
    return found->second.get();
}

boost::asio::awaitable<tl::expected<GateView, Refusal>> LiveDesk::open_gate(GateWish wish) {
    const auto found = post_of(wish.chassis);
    if (!found)
        co_return tl::unexpected(found.error());
    Post& post = **found;

    auto gate = plan_gate(post, wish);
    if (!gate)
        co_return tl::unexpected(std::move(gate.error()));
    if (!wish.idempotency_key.empty())
        if (auto before = published_->by_idempotency_key(wish.by, wish.idempotency_key)) {
            // The gap that is not wished for may have been another one before a restart.
            const bool same_times =
                before->guard == gate->guard && (!wish.gap || before->gap == gate->gap);
            if (before->view.chassis == wish.chassis &&
                before->view.finding.sentence == gate->sentence && same_times)
                co_return std::move(before->view);
            co_return tl::unexpected(refusal(Refusal::Kind::key_reused, wish.idempotency_key, "",
                                             "this key came with gate " + before->view.finding.id +
                                                 " before; use a new key for a new gate"));
        }
    if (published_->count_open(wish.chassis) >= most_open_gates)
        co_return tl::unexpected(refusal(Refusal::Kind::too_many,
                                         std::to_string(most_open_gates) + " open gates", "",
                                         "delete gates of this chassis that nobody waits for"));

    const std::string id = gate->id;
    const auto in_flight = std::pair(wish.by, wish.idempotency_key);
    if (!wish.idempotency_key.empty() && !opening_keys_.insert(in_flight).second)
        co_return tl::unexpected(
            refusal(Refusal::Kind::in_flight, wish.idempotency_key, "",
                    "a request with this key is under way; ask again for its answer"));
    Sequencer::What what = std::move(*gate);
    const Recorded recorded = co_await post.sequencer->record(std::move(what));
    opening_keys_.erase(in_flight);
    if (!recorded.stored)
        co_return tl::unexpected(not_recorded(recorded));
    for (const witness::Finding& finding : recorded.outcome.findings)
        if (const auto* refused = std::get_if<witness::GateRefused>(&finding))
            co_return tl::unexpected(Refusal{Refusal::Kind::unknown_name, refused->problem});
    post.watcher->look_again();
    co_return *published_->gate(id);
}

boost::asio::awaitable<tl::expected<GateView, Refusal>> LiveDesk::close_gate(std::string id,
                                                                             std::string by) {
    const auto view = published_->gate(id);
    if (!view)
        co_return tl::unexpected(
            refusal(Refusal::Kind::no_such_gate, id, "", "list the gates to see their ids"));
    if (view->finding.retired)
        co_return *view;
    Post& post = *posts_.find(view->chassis)->second;
    Sequencer::What what = witness::GateClosed{id, std::move(by)};
    const Recorded recorded = co_await post.sequencer->record(std::move(what));
    if (!recorded.stored)
        co_return tl::unexpected(not_recorded(recorded));
    co_return *published_->gate(id);
}

boost::asio::awaitable<tl::expected<void, Refusal>> LiveDesk::want_baseline(std::string chassis,
                                                                            std::string by) {
    const auto found = post_of(chassis);
    if (!found)
        co_return tl::unexpected(found.error());
    Post& post = **found;
    Sequencer::What what = witness::BaselineWanted{whole_look(post.settings), std::move(by)};
    const Recorded recorded = co_await post.sequencer->record(std::move(what));
    if (!recorded.stored)
        co_return tl::unexpected(not_recorded(recorded));
    post.watcher->look_again();
    co_return tl::expected<void, Refusal>();
}

tl::expected<void, Refusal> LiveDesk::connect_again(std::string_view chassis, std::string_view by) {
    const auto found = post_of(chassis);
    if (!found)
        return tl::unexpected(found.error());
    log::tell(log::Level::info, log::Event::session, {chassis, {{"person", std::string{by}}}},
              std::string{by} + " asks to connect again");
    (*found)->watcher->connect_again();
    return {};
}

Refusal LiveDesk::no_such_chassis(std::string_view name) const {
    std::string names;
    for (const auto& [each, post] : posts_)
        names += (names.empty() ? "" : ", ") + each;
    return refusal(Refusal::Kind::no_such_chassis, std::string(name), "one of " + names,
                   "name a chassis of the configuration");
}

boost::asio::awaitable<void>
LiveDesk::gate_change(std::string id, std::optional<std::uint64_t> seen, Instant until) {
    co_await published_->change(executor_, std::move(id), seen, until);
}

std::string_view to_word(Session value) {
    switch (value) {
    case Session::connecting:
        return "connecting";
    case Session::connected:
        return "connected";
    case Session::lost:
        return "lost";
    case Session::refused:
        return "refused";
    case Session::halted:
        return "halted";
    }
    return "lost";
}

bool needs_people(Session value) {
    return value == Session::refused || value == Session::halted;
}

units::Duration pending_gap(const ChassisSettings& settings) {
    return watch::default_gap(settings.pace, settings.profile->reach.timeout);
}

units::Duration longest_gap(const ChassisSettings& settings) {
    const watch::Pace& pace = settings.pace;
    const units::Duration slower = std::max(pace.pending, pace.idle);
    return watch::default_gap({slower, slower}, settings.profile->reach.timeout);
}

std::size_t queries_at_once(const profiles::Profile& profile, const watch::Budget& budget) {
    return std::min(profile.reach.parallel, budget.at_once.value_or(profile.reach.parallel));
}

LinkMaker ssh_links() {
    return [bastions = std::make_shared<links::Bastions>()](boost::asio::any_io_executor executor,
                                                            const ChassisSettings& chassis) {
        const profiles::Reach& reach = chassis.profile->reach;
        auto way = bastions->way(executor, chassis.through);
        return links::make_ssh_link(std::move(executor), chassis.target,
                                    {reach.timeout, reach.longest_answer,
                                     queries_at_once(*chassis.profile, chassis.budget), reach.by,
                                     links::Guard(*chassis.profile).approve_shell()},
                                    std::move(way));
    };
}

} // namespace slotwitness::desk
