"""Addresses of the office."""

from django.urls import path

from shopfloor.office import (
    adjusters,
    entries,
    frame,
    frame_edit,
    frames,
    jobs,
    labels,
    live,
    log_pages,
    outbox,
    paper_card,
    phones,
    press_page,
    sets,
    shop,
    stretching,
    things,
    today,
)

app_name = "office"
urlpatterns = [
    path("", today.today, name="today"),
    path("pulse/", live.pulse, name="pulse"),
    path("frames/", frames.frames, name="frames"),
    path("frames/new/", frame_edit.new, name="frame-new"),
    path("frames/<uuid:frame_id>/", frame.frame, name="frame"),
    path("frames/<uuid:frame_id>/card.pdf", paper_card.paper_card, name="paper-card"),
    path("frames/<uuid:frame_id>/change/", frame_edit.edit, name="frame-edit"),
    path("frames/<uuid:frame_id>/write/", entries.write, name="write"),
    path("frames/<uuid:frame_id>/write/<str:kind>/", entries.write, name="write"),
    path("frames/screens/<uuid:screen_id>/", frame.screen, name="screen"),
    path("jobs/", jobs.jobs, name="jobs"),
    path("jobs/new/", jobs.new, name="job-new"),
    path("jobs/<uuid:job_id>/", jobs.job, name="job"),
    path("jobs/<uuid:job_id>/set/", sets.job_set, name="job-set"),
    path("jobs/<uuid:job_id>/change/", jobs.edit, name="job-edit"),
    path("jobs/<uuid:job_id>/colours/new/", jobs.colour_new, name="colour-new"),
    path("jobs/<uuid:job_id>/colours/<uuid:colour_id>/", jobs.colour_edit, name="colour-edit"),
    path("labels/", labels.labels, name="labels"),
    path("log/", log_pages.flagged, name="flagged"),
    path("log/refused/", log_pages.refused, name="refused"),
    path("log/refused/<int:refused_id>/settle/", log_pages.settle, name="settle"),
    path("log/<uuid:entry_id>/correct/", entries.correct, name="correct"),
    path("log/<uuid:entry_id>/void/", entries.void, name="void"),
    path("phones/", phones.phones, name="phones"),
    path("phones/outbox/", outbox.outbox, name="outbox"),
    path("phones/add/", phones.add, name="phone-add"),
    path("phones/waiting/<uuid:enrolment_id>/", phones.let_in, name="let-in"),
    path("phones/waiting/<uuid:enrolment_id>/turn-away/", phones.turn_away, name="turn-away"),
    *(
        path(f"phones/<uuid:device_id>/{how}/", phones.change, {"how": how}, f"phone-{how}")
        for how in phones.CHANGES
    ),
    path("shop/", shop.settings, name="shop"),
    path("shop/presses/<uuid:press_id>/page/", press_page.press, name="press"),
    path("shop/presses/<uuid:press_id>/adjusters/new/", adjusters.new, name="adjuster-new"),
    path(
        "shop/presses/<uuid:press_id>/adjusters/<int:place>/",
        adjusters.edit,
        name="adjuster",
    ),
    path("shop/stretching/", stretching.stretching, name="stretching"),
    path("shop/<slug:slug>/", things.table, name="things"),
    path("shop/<slug:slug>/new/", things.new, name="thing-new"),
    path("shop/<slug:slug>/<uuid:id>/", things.edit, name="thing-edit"),
    path("retire/<slug:kind>/<uuid:id>/", things.retire, name="retire"),
]
