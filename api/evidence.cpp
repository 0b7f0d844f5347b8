#include "evidence.hpp"

#include "head.hpp"
#include "negotiation.hpp"
#include "procedures.hpp"

#include <slotwitness/log/log.hpp>

#include <array>
#include <charconv>
#include <utility>

namespace slotwitness::api {

namespace asio = boost::asio;

namespace {

constexpr std::string_view tar_type = "application/x-tar";

/// Counts a pack that is being sent.
class Sending {
  public:
    explicit Sending(std::size_t& count) : count_(count) { ++count_; }
    ~Sending() { --count_; }
    Sending(const Sending&) = delete;
    Sending& operator=(const Sending&) = delete;

  private:
    std::size_t& count_;
};

ProblemDetails too_many_packs(std::size_t most) {
    ProblemDetails problem;
    problem.status = 429;
    problem.kind = "too-many-packs";
    problem.detail = "Other evidence packs are being sent.";
    problem.expected = "at most " + std::to_string(most) + " at a time";
    problem.remedy = "Try again in a minute.";
    return problem;
}

/// RFC 9112 §7.1; a piece that is empty is the last chunk.
std::string chunked(std::string_view piece) {
    std::array<char, 16> size{};
    const auto end = std::to_chars(size.data(), size.data() + size.size(), piece.size(), 16).ptr;
    std::string chunk(size.data(), end);
    chunk.append("\r\n").append(piece).append("\r\n");
    return chunk;
}

asio::awaitable<bool> write_piece(Client& client, Common& common, std::string bytes) {
    const auto deadline = client.transport.now() + common.limits.write_time;
    const auto written = co_await client.transport.write(bytes, deadline);
    co_return written.has_value();
}

} // namespace

Next get_evidence(const Request& request, const Places& places, const desk::Desk& desk) {
    const std::string& id = places.front();
    if (!desk.procedure(id))
        return procedure_shown(request, id, desk);
    static constexpr std::array offers{tar_type};
    if (negotiate(request, offers))
        return SendEvidence{id};
    ProblemDetails problem;
    problem.status = 406;
    problem.detail = "This path gives a tar archive alone.";
    problem.field = "Accept";
    problem.found = request.field("Accept").value_or("");
    problem.expected = tar_type;
    problem.remedy = "Leave Accept out, or name that type.";
    return to_response(problem, request.path);
}

Response evidence_head(const Request& request, std::string_view id) {
    Response head;
    head.fields = {
        {"Content-Type", std::string{tar_type}},
        {"Content-Disposition", "attachment; filename=\"evidence-" + std::string{id} + ".tar\""}};
    if (request.minor >= 1) // HTTP/1.0 knows no chunks
        head.fields.push_back({"Transfer-Encoding", "chunked"});
    head.is_stream = true;
    return head;
}

asio::awaitable<std::optional<Response>> send_evidence(Client& client, Common& common,
                                                       Request& request, SendEvidence evidence) {
    if (common.packs >= common.limits.packs)
        co_return to_response(too_many_packs(common.limits.packs), request.path);
    const Sending sending(common.packs);
    auto beginning = common.desk.evidence(evidence.id);
    const auto pack = co_await std::move(beginning);
    if (!pack)
        co_return to_response(to_problem(pack.error()), request.path);
    const bool in_chunks = request.minor >= 1;
    auto begin = write_piece(
        client, common, to_bytes(evidence_head(request, evidence.id), common.framing(false, true)));
    bool goes_on = co_await std::move(begin);
    common.counts.count(200);
    while (goes_on && !common.stopping && !common.door.no_longer_in(request, common.desk)) {
        auto reading = (*pack)->next();
        const auto piece = co_await std::move(reading);
        if (!piece) { // the client sees a stream without an end
            log::tell(log::Level::error, log::Event::evidence, {{}, {{"procedure", evidence.id}}},
                      "api: the evidence of procedure " + evidence.id +
                          " is cut: " + piece.error());
            break;
        }
        auto writing = write_piece(client, common, in_chunks ? chunked(*piece) : *piece);
        const bool written = co_await std::move(writing);
        goes_on = written && !piece->empty();
    }
    co_return std::nullopt;
}

} // namespace slotwitness::api
