#include "events.hpp"

#include "gates.hpp"
#include "negotiation.hpp"
#include "problem.hpp"
#include "procedures.hpp"

#include <array>

namespace slotwitness::api {

Event make_event(const EntityTag& tag, std::string_view data, std::uint64_t revision,
                 bool is_last) {
    Event event{tag.opaque, "id: " + tag.opaque + "\ndata: ", revision, is_last};
    event.bytes.append(data).append("\n\n");
    return event;
}

SharedEvent newest_event(const Follow& follow, const desk::Desk& desk) {
    if (follow.of == AwaitChange::Of::gate) {
        const auto view = desk.gate(follow.id);
        return view ? gate_event(view) : nullptr;
    }
    const auto view = desk.procedure(follow.id);
    return view ? procedure_event(view) : nullptr;
}

Next follow(const Request& request, AwaitChange::Of of, const std::string& id,
            const desk::Desk& desk) {
    Follow wanted{of, id, request.field("Last-Event-ID").value_or("")};
    const auto event = newest_event(wanted, desk);
    if (!event)
        return of == AwaitChange::Of::gate ? gate_shown(request, id, desk)
                                           : procedure_shown(request, id, desk);
    static constexpr std::array offers{event_type};
    if (!negotiate(request, offers)) {
        ProblemDetails problem;
        problem.status = 406;
        problem.detail = "This path gives events alone.";
        problem.field = "Accept";
        problem.found = request.field("Accept").value_or("");
        problem.expected = event_type;
        problem.remedy = "Leave the last part of the path out for what is shown now.";
        return to_response(problem, request.path);
    }
    if (event->is_last && event->id == wanted.last_event) {
        Response nothing_more;
        nothing_more.status = 204;
        return nothing_more;
    }
    return wanted;
}

Response stream_head() {
    Response head;
    head.fields = {{"Content-Type", std::string{event_type}}};
    head.is_stream = true;
    return head;
}

} // namespace slotwitness::api
