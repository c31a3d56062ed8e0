"""Addresses below /office/shop/lists/."""

from django.urls import path

from shopfloor.exchange import views, views_out

app_name = "exchange"
urlpatterns = [
    path("", views.lists, name="lists"),
    path("columns/", views_out.columns, name="columns"),
    path("columns/<slug:slug>/blank.csv", views_out.blank, name="blank"),
    path("out/all.zip", views_out.archive, name="archive"),
    path("out/<slug:slug>/list.csv", views_out.one_list, name="out"),
    path("in/<uuid:upload_id>/", views.look, name="look"),
    path("in/<uuid:upload_id>/take/", views.take, name="take"),
    path("in/<uuid:upload_id>/kept.csv", views_out.kept, name="kept"),
    path("in/<uuid:upload_id>/drop/", views.drop, name="drop"),
]
